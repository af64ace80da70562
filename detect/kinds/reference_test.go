package kinds

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"sort"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
)

// The detectors against a second writing of their definitions, slow and plain,
// on random small scores. The reference knows time as whole ticks and looks at
// every tick; it shares no code with the detectors.

const tick = 120 // in a quarter note

func TestAgainstReference(t *testing.T) {
	references := map[detect.Kind]func(*plain) []string{
		"cross-rhythm": plainCrossRhythms, "parallel-thirds": plainThirds,
		"tie-across-pedal": plainTies, "leap": plainLeaps, "spread-octave": plainOctaves,
	}
	found := map[detect.Kind]int{}
	for seed := range uint64(150) {
		s := randomScore(rand.New(rand.NewPCG(seed, 1)))
		got := map[detect.Kind][]string{}
		for _, d := range All {
			if references[d.Kind] == nil {
				continue
			}
			found := d.Find(s, detect.DefaultPlayer())
			for _, o := range found {
				got[d.Kind] = append(got[d.Kind], fmt.Sprintf("%d %s %s", ticks(o.From), o.Hand, summary(t, o)))
			}
		}
		plain := plainOf(s)
		for kind, reference := range references {
			if Find(kind) == nil {
				continue
			}
			want := reference(plain)
			sort.Strings(want)
			sort.Strings(got[kind])
			if strings.Join(got[kind], "\n") != strings.Join(want, "\n") {
				t.Fatalf("score %d, %s:\ngot\n%s\nwant\n%s", seed, kind, strings.Join(got[kind], "\n"), strings.Join(want, "\n"))
			}
			found[kind] += len(want)
		}
	}
	for kind := range references {
		if found[kind] < 40 && Find(kind) != nil {
			t.Errorf("only %d of %s in all random scores", found[kind], kind)
		}
	}
}

// summary is what the reference must agree with, as JSON has it.
func summary(t *testing.T, o detect.Occurrence) string {
	t.Helper()
	var d struct {
		Ratio                  string
		Right, Left, Gaps      []int
		Grid, Count, Semitones int
		Pitches                any
		Changes                []detect.Position
		HeldBy                 string `json:"held_by"`
		OtherHand              bool   `json:"other_hand_can_hold"`
		From, To               string
		Sign                   bool
	}
	data, err := json.Marshal(o.Detail)
	if err == nil {
		err = json.Unmarshal(data, &d)
	}
	if err != nil {
		t.Fatal(err)
	}
	switch o.Kind {
	case "cross-rhythm":
		return fmt.Sprint(d.Ratio, d.Right, d.Left, d.Grid, d.Gaps)
	case "parallel-thirds":
		return fmt.Sprint(d.Count, d.Pitches)
	case "tie-across-pedal":
		var changes []int
		for _, at := range d.Changes {
			changes = append(changes, 4*tick*(at.Index-1)+ticks(at.Offset))
		}
		return fmt.Sprint(d.Pitches, changes, d.HeldBy, d.OtherHand)
	case "leap":
		return fmt.Sprint(d.From, " ", d.To, " ", d.Semitones)
	case "spread-octave":
		return fmt.Sprint(d.Pitches, d.Sign)
	}
	panic("a kind that the reference does not know")
}

func ticks(at score.Rat) int { return int(at.Mul(score.Int(tick)).Num()) }

// randomScore writes three bars of 4/4 with ties, rests, gaps, grace notes,
// two voices in a hand, pedal changes and arpeggio signs.
func randomScore(r *rand.Rand) *score.Score {
	s := &score.Score{Tempos: []score.Tempo{{QPM: 60}}}
	four := score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}
	for i := range 3 {
		s.Bars = append(s.Bars, score.Bar{Number: fmt.Sprint(i + 1), Index: i + 1, Start: score.Int(int64(4 * i)), Length: score.Int(4), Time: four})
	}
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for voice := range 1 + r.IntN(2) {
			first := len(s.Notes)
			randomVoice(r, s, hand)
			for i := first; i < len(s.Notes); i++ {
				s.Notes[i].Voice = fmt.Sprint(voice)
			}
		}
	}
	slices.SortStableFunc(s.Notes, func(a, b score.Note) int {
		switch {
		case a.Onset != b.Onset:
			return a.Onset.Cmp(b.Onset)
		case (a.Grace > 0) != (b.Grace > 0):
			return b.Grace - a.Grace
		case a.Hand != b.Hand:
			return int(a.Hand) - int(b.Hand)
		}
		return a.Pitch.MIDI() - b.Pitch.MIDI()
	})
	randomPedal(r, s)
	randomSpreads(r, s)
	return s
}

// randomVoice divides some beats into equal parts and fills the parts.
func randomVoice(r *rand.Rand, s *score.Score, hand score.Hand) {
	center := 72 - 24*int(hand)
	var last []int // notes that a tie can lengthen
	for at := score.Int(0); at.Less(s.End()); {
		beats := score.Int(int64(1 + r.IntN(2)))
		if s.End().Less(at.Add(beats)) {
			beats = score.Int(1)
		}
		parts := int64(1 + r.IntN(6))
		for range parts {
			length := beats.Div(score.Int(parts))
			switch k := r.IntN(12); {
			case k == 0: // nothing is written
				last = nil
			case k == 1:
				s.Rests = append(s.Rests, score.Rest{Hand: hand, Onset: at, Length: length})
				last = nil
			case k <= 3 && last != nil:
				for _, n := range last {
					note := &s.Notes[n]
					note.Heads = append(note.Heads, score.Head{Onset: at, Length: length})
					note.Length = note.Length.Add(length)
				}
			default:
				last = randomChord(r, s, hand, at, length, center)
				center = min(max(center+r.IntN(11)-5, 36), 84)
			}
			at = at.Add(length)
		}
	}
}

func randomChord(r *rand.Rand, s *score.Score, hand score.Hand, at, length score.Rat, low int) []int {
	if r.IntN(10) == 0 {
		s.Notes = append(s.Notes, score.Note{Hand: hand, Onset: at, Pitch: spelled(low + r.IntN(25) - 12), Grace: 1})
	}
	shapes := [][]int{{0}, {0}, {0}, {0, 3}, {0, 4}, {0, 3}, {0, 4}, {0, 2}, {0, 4, 7}, {0, 5, 8}, {0, 12}, {0, 16}, {0, 3, 6, 9, 12}}
	var added []int
	for _, k := range shapes[r.IntN(len(shapes))] {
		added = append(added, len(s.Notes))
		s.Notes = append(s.Notes, score.Note{
			Hand: hand, Onset: at, Length: length, Pitch: spelled(low + k), Heads: []score.Head{{Onset: at, Length: length}},
		})
	}
	return added
}

// spelled writes a key with flats: G♯ as A♭, so that some thirds look otherwise.
func spelled(key int) score.Pitch {
	steps := "CDDEEFGGAABB"
	alter := map[int]int{1: -1, 3: -1, 6: -1, 8: -1, 10: -1}
	return score.Pitch{Step: steps[key%12], Alter: alter[key%12], Octave: key/12 - 1}
}

func randomPedal(r *rand.Rand, s *score.Score) {
	pedal := score.Pedal{Kind: score.Damper, To: s.End()}
	for at := score.Int(int64(r.IntN(3))); at.Less(s.End()); at = at.Add(score.R(int64(1+r.IntN(6)), 2)) {
		lift := score.Max(at, score.R(1, 4))
		pedal.Changes = append(pedal.Changes, score.Change{Lift: lift, Press: lift.Add(score.R(int64(r.IntN(3)), 8))})
	}
	s.Pedals = []score.Pedal{pedal, {Kind: score.Sostenuto, To: s.End(), Changes: []score.Change{{Lift: score.Int(1), Press: score.Int(1)}}}}
}

// randomSpreads puts signs on chords of one hand, or of both at one instant.
func randomSpreads(r *rand.Rand, s *score.Score) {
	byInstant := map[score.Rat][2][]int{}
	var instants []score.Rat
	for i, n := range s.Notes {
		if n.Grace > 0 {
			continue
		}
		hands, seen := byInstant[n.Onset]
		if !seen {
			instants = append(instants, n.Onset)
		}
		hands[n.Hand] = append(hands[n.Hand], i)
		byInstant[n.Onset] = hands
	}
	for _, at := range instants {
		hands := byInstant[at]
		hand := score.Hand(r.IntN(3))
		notes := slices.Concat(hands[score.Left], hands[score.Right])
		if hand != score.Both {
			notes = hands[hand]
		} else if len(hands[score.Left]) == 0 || len(hands[score.Right]) == 0 {
			continue
		}
		if r.IntN(4) > 0 || len(notes) < 2 {
			continue
		}
		slices.SortStableFunc(notes, func(a, b int) int { return s.Notes[a].Pitch.MIDI() - s.Notes[b].Pitch.MIDI() })
		s.Arpeggios = append(s.Arpeggios, score.Arpeggio{At: at, Notes: notes, Hand: hand})
	}
}

// plain is a score in ticks.
type plain struct {
	end     int
	notes   []plainNote
	rests   []plainNote // of which only hand, on and off
	changes [][2]int
	spreads [][]plainNote
	known   map[string][]plainNote // answers of struck
}

type plainNote struct {
	hand    score.Hand
	key     int
	staff   int
	on, off int
	grace   bool
	heads   [][2]int
	name    string
	voice   string
}

func plainOf(s *score.Score) *plain {
	p := &plain{end: ticks(s.End()), known: map[string][]plainNote{}}
	for _, n := range s.Notes {
		note := plainNote{hand: n.Hand, key: n.Pitch.MIDI(), staff: n.Pitch.Staff(),
			on: ticks(n.Onset), off: ticks(n.Onset.Add(n.Length)), grace: n.Grace > 0, name: n.Pitch.String(), voice: n.Voice}
		for _, h := range n.Heads {
			note.heads = append(note.heads, [2]int{ticks(h.Onset), ticks(h.Onset.Add(h.Length))})
		}
		p.notes = append(p.notes, note)
	}
	for _, r := range s.Rests {
		p.rests = append(p.rests, plainNote{hand: r.Hand, on: ticks(r.Onset), off: ticks(r.Onset.Add(r.Length))})
	}
	for _, c := range s.Pedals[0].Changes {
		p.changes = append(p.changes, [2]int{ticks(c.Lift), ticks(c.Press)})
	}
	for _, sp := range s.Arpeggios {
		var notes []plainNote
		for _, n := range sp.Notes {
			notes = append(notes, p.notes[n])
		}
		p.spreads = append(p.spreads, notes)
	}
	return p
}

// struck returns what a hand strikes at a tick, low to high, one note a key:
// the longest.
func (p *plain) struck(hand score.Hand, at int, grace bool) []plainNote {
	question := fmt.Sprint(hand, at, grace)
	if all, ok := p.known[question]; ok {
		return all
	}
	longest := map[int]plainNote{}
	for _, n := range p.notes {
		if n.hand == hand && n.on == at && n.grace == grace {
			if other, ok := longest[n.key]; !ok || other.off < n.off {
				longest[n.key] = n
			}
		}
	}
	var all []plainNote
	for k := range 128 {
		if n, ok := longest[k]; ok {
			all = append(all, n)
		}
	}
	p.known[question] = all
	return all
}

// attacks returns the ticks at which a hand strikes notes that are no grace notes.
func (p *plain) attacks(hand score.Hand) []int {
	var all []int
	for at := range p.end {
		if len(p.struck(hand, at, false)) > 0 {
			all = append(all, at)
		}
	}
	return all
}

func plainCrossRhythms(p *plain) []string {
	starts, covered := [2]map[int]bool{{}, {}}, [2]map[int]bool{{}, {}}
	write := func(hand score.Hand, on, off int) {
		starts[hand][on] = true
		for at := on; at < off; at++ {
			covered[hand][at] = true
		}
	}
	for _, n := range p.notes {
		for _, h := range n.heads {
			write(n.hand, h[0], h[1])
		}
	}
	for _, r := range p.rests {
		write(r.hand, r.on, r.off)
	}
	var cuts []int
	for at := range p.end {
		both := true
		for hand := range starts {
			silent := !covered[hand][at] && (at%(4*tick) == 0 || covered[hand][at-1])
			both = both && (starts[hand][at] || silent)
		}
		if both {
			cuts = append(cuts, at)
		}
	}
	cuts = append(cuts, p.end)
	attacks := [2][]int{p.attacks(score.Right), p.attacks(score.Left)}
	var found []string
	for i := 0; i+1 < len(cuts); i++ {
		if text := plainCell(cuts[i], cuts[i+1], attacks); text != "" {
			found = append(found, fmt.Sprintf("%d both %s", cuts[i], text))
		}
	}
	return found
}

// plainCell counts up to the least numbers of parts.
func plainCell(from, to int, attacks [2][]int) string {
	parts := [2]int{}
	inside := [2][]int{}
	for hand := range attacks {
		for _, at := range attacks[hand] {
			if from <= at && at < to {
				inside[hand] = append(inside[hand], at-from)
			}
		}
		for fits := false; !fits; {
			parts[hand]++
			fits = true
			for _, at := range inside[hand] {
				fits = fits && at*parts[hand]%(to-from) == 0
			}
		}
	}
	r, l := parts[0], parts[1]
	if r%l == 0 || l%r == 0 {
		return ""
	}
	grid := r
	for grid%l != 0 {
		grid += r
	}
	common := r
	for r%common != 0 || l%common != 0 {
		common--
	}
	on := [2][]int{}
	var gaps []int
	last := -1
	for at := range to - from {
		hit := false
		for hand := range inside {
			if slices.Contains(inside[hand], at) {
				on[hand] = append(on[hand], at*grid/(to-from))
				hit = true
			}
		}
		if hit && last >= 0 {
			gaps = append(gaps, (at-last)*grid/(to-from))
		}
		if hit {
			last = at
		}
	}
	gaps = append(gaps, (to-from-last)*grid/(to-from))
	return fmt.Sprint(fmt.Sprintf("%d:%d", r/common, l/common), on[0], on[1], grid, gaps)
}

// handsOver reports whether, of one hand at an instant, one voice ends and no other
// does, and one begins after a quarter's silence and no other does, and they are these two.
func (p *plain) handsOver(hand score.Hand, at int, from, to string) bool {
	strikes, lasts := map[string]bool{}, map[string]int{}
	for _, n := range p.struck(hand, at, false) {
		strikes[n.voice] = true
	}
	for before := range at {
		for _, n := range p.struck(hand, before, false) {
			lasts[n.voice] = max(lasts[n.voice], n.off)
		}
	}
	var ends, begins []string
	for voice, off := range lasts {
		if off == at && !strikes[voice] {
			ends = append(ends, voice)
		}
	}
	for voice := range strikes {
		if off, ok := lasts[voice]; !ok || off+tick <= at {
			begins = append(begins, voice)
		}
	}
	return fmt.Sprint(ends, begins) == fmt.Sprint([]string{from}, []string{to})
}

func plainThirds(p *plain) []string {
	var found []string
	for _, hand := range []score.Hand{score.Right, score.Left} {
		at := p.attacks(hand)
		third := func(i int) bool {
			notes := p.struck(hand, at[i], false)
			if len(notes) < 2 {
				return false
			}
			low, high := notes[len(notes)-2], notes[len(notes)-1]
			for _, other := range notes[:len(notes)-2] {
				if other.voice == low.voice || other.voice == high.voice {
					return false
				}
			}
			return high.staff-low.staff == 2
		}
		top := func(i int) [2]plainNote {
			notes := p.struck(hand, at[i], false)
			return [2]plainNote{notes[len(notes)-2], notes[len(notes)-1]}
		}
		same := func(i, j int) bool { return top(i)[0].key == top(j)[0].key && top(i)[1].key == top(j)[1].key }
		joined := func(i int) bool { // with the attack before
			if i == 0 || i == len(at) || !third(i-1) || !third(i) || top(i - 1)[1].voice != top(i)[1].voice && !p.handsOver(hand, at[i], top(i - 1)[1].voice, top(i)[1].voice) {
				return false
			}
			return at[i]-max(top(i - 1)[0].off, top(i - 1)[1].off) < tick
		}
		for first := range at {
			for last := first; last < len(at); last++ {
				whole := third(first) && !joined(first) && !joined(last+1)
				for i := first + 1; i <= last; i++ {
					whole = whole && joined(i)
				}
				if !whole {
					continue
				}
				a, b := first, last
				for a < b && same(a, a+1) {
					a++
				}
				for a < b && same(b, b-1) {
					b--
				}
				moving := false
				for i := a; i+2 <= b; i++ {
					moving = moving || !same(i, i+1) && !same(i+1, i+2)
				}
				if moving {
					pitches := [2][2]string{{top(a)[0].name, top(a)[1].name}, {top(b)[0].name, top(b)[1].name}}
					found = append(found, fmt.Sprintf("%d %s %s", at[a], hand, fmt.Sprint(b-a+1, pitches)))
				}
			}
		}
	}
	return found
}

// plainX is the middle of a key, found by walking up from A0.
func plainX(key int) float64 {
	x := 23.5 / 2
	for k := 22; k <= key; k++ {
		pc, before := k%12, (k-1)%12
		black := func(pc int) bool { return strings.Contains(" 1 3 6 8 10 ", fmt.Sprintf(" %d ", pc)) }
		if black(pc) || black(before) {
			x += 23.5 / 2
		} else {
			x += 23.5
		}
	}
	return x
}

// plainReach is that of a hand of 201 mm: an octave is 164.5 mm of keyboard
// and takes 170 mm of span, a tenth two white keys and 46 mm more.
const plainReach = 164.5 + (201-170)*(2*23.5/46)

// plainCovers reports whether one hand of the default player takes all keys.
func plainCovers(hand score.Hand, set map[int]bool) bool { return plainTakes(hand, set, plainReach) }

// plainTakes is the same for a hand with another reach.
func plainTakes(hand score.Hand, set map[int]bool, reach float64) bool {
	var keys []int
	for k := range 128 {
		if set[k] {
			keys = append(keys, k)
		}
	}
	fingers := len(keys)
	if fingers > 5 {
		low, high := keys[0], keys[1]
		if hand == score.Left {
			low, high = keys[fingers-2], keys[fingers-1]
		}
		whites := "CxDxEFxGxAxB"
		if whites[low%12] != 'x' && whites[high%12] != 'x' && plainX(high)-plainX(low) == 23.5 {
			fingers--
		}
	}
	return fingers <= 5 && plainX(keys[len(keys)-1])-plainX(keys[0]) <= reach
}

func plainTies(p *plain) []string {
	var found []string
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for at := range p.end {
			groups := map[string][]plainNote{}
			inside := map[string][][2]int{}
			var order []string
			for _, n := range p.struck(hand, at, false) {
				var over [][2]int
				for _, c := range p.changes {
					if n.on < c[0] && c[1] < n.off && !p.struckWithin(n.key, n.on, c[1]) {
						over = append(over, c)
					}
				}
				if len(over) == 0 {
					continue
				}
				name := fmt.Sprint(over)
				if groups[name] == nil {
					order = append(order, name)
				}
				groups[name] = append(groups[name], n)
				inside[name] = over
			}
			for _, name := range order {
				found = append(found, fmt.Sprintf("%d %s %s", at, hand, p.plainTie(hand, groups[name], inside[name])))
			}
		}
	}
	return found
}

// struckWithin reports whether a key is struck after one tick and not after another.
func (p *plain) struckWithin(key, after, until int) bool {
	for _, n := range p.notes {
		if n.key == key && after < n.on && n.on <= until {
			return true
		}
	}
	return false
}

func (p *plain) plainTie(hand score.Hand, held []plainNote, changes [][2]int) string {
	var names []string
	var falls []int
	for _, n := range held {
		names = append(names, n.name)
	}
	for _, c := range changes {
		falls = append(falls, c[0])
	}
	until := changes[len(changes)-1][1]
	with := func(notes ...plainNote) map[int]bool {
		set := map[int]bool{}
		for _, n := range slices.Concat(held, notes) {
			set[n.key] = true
		}
		return set
	}
	leaves := -1
	for at := held[0].on; at <= until && leaves < 0; at++ {
		ok := plainCovers(hand, with(p.struck(hand, at, false)...))
		for _, g := range p.struck(hand, at, true) {
			ok = ok && (at == held[0].on || plainCovers(hand, with(g)))
		}
		if !ok {
			leaves = at
		}
	}
	if leaves < 0 {
		return fmt.Sprint(names, falls, "finger", false)
	}
	other := true
	for at := leaves; at <= until; at++ {
		var down []plainNote
		for _, n := range p.notes {
			if n.hand != hand && !n.grace && n.on <= at && at < n.off {
				down = append(down, n)
			}
		}
		other = other && plainCovers(1-hand, with(down...))
	}
	return fmt.Sprint(names, falls, "pedal", other)
}

// plainStroke is what a hand strikes at once, a grace note before its time.
type plainStroke struct {
	at, place, end int
	notes          []plainNote
}

// plainStrokes puts a grace note an eighth before its main note, or half way
// from the attack before.
func (p *plain) strokes(hand score.Hand) []plainStroke {
	var strokes []plainStroke
	for _, at := range p.attacks(hand) {
		notes, end := p.struck(hand, at, false), at
		for _, n := range notes {
			end = max(end, n.off)
		}
		if grace := p.struck(hand, at, true); len(grace) > 0 {
			early := tick / 2
			if len(strokes) > 0 {
				early = min(early, (at-strokes[len(strokes)-1].at)/2)
			}
			strokes = append(strokes, plainStroke{at - early, at, end, grace})
		}
		strokes = append(strokes, plainStroke{at, at, end, notes})
	}
	return strokes
}

// plainLeaps follows the hand from stroke to stroke.
func plainLeaps(p *plain) []string {
	var found []string
	for _, hand := range []score.Hand{score.Right, score.Left} {
		strokes := p.strokes(hand)
		for i := 1; i < len(strokes); i++ {
			from, to := strokes[i-1], strokes[i]
			from.notes = from.notes[plainRoll(hand, from.notes):]                      // from the last that it rolls
			for n := plainRoll(hand, to.notes); n > 0; n = plainRoll(hand, to.notes) { // to the first
				to.notes = to.notes[:n]
			}
			a, b, ok := plainLeap(hand, from.notes, to.notes)
			if !ok || to.at-from.at > 4*tick {
				continue
			}
			place, up := from.place, b.key > a.key
			way := plainWay(a, b)
			for j := plainPosition(hand, strokes[:i]); j < i && from.place < to.place; j++ {
				n, m := strokes[j].notes[0], to.notes[0]
				if up {
					n, m = strokes[j].notes[len(strokes[j].notes)-1], to.notes[len(to.notes)-1]
				}
				if ok = ok && (up && m.key-n.key >= 6 || !up && n.key-m.key >= 6); plainWay(n, m) < way || plainWay(n, m) == way && place != from.place {
					a, b, place, way = n, m, strokes[j].place, plainWay(n, m)
				}
			}
			if ok {
				found = append(found, fmt.Sprintf("%d %s %s", place, hand, fmt.Sprint(a.name, " ", b.name, " ", b.key-a.key)))
			}
		}
	}
	return found
}

// plainRoll is how many notes, low to high, come before those that a hand that
// reaches a twelfth takes last.
func plainRoll(hand score.Hand, notes []plainNote) int {
	for i := range notes {
		keys := map[int]bool{}
		for _, n := range notes[i:] {
			keys[n.key] = true
		}
		if plainTakes(hand, keys, 11*23.5) {
			return i
		}
	}
	return len(notes) - 1
}

// plainPosition is the first of four strokes and more that come within a
// quarter, up to the last and without a rest, and that the hand can cover
// together, or of the two of a broken octave in sixteenths; all of the strokes
// are passed over where there are not so many.
func plainPosition(hand score.Hand, strokes []plainStroke) int {
	under, first := map[int]bool{}, len(strokes)
	for j := len(strokes) - 1; j >= 0 && strokes[len(strokes)-1].place-strokes[j].place <= tick; j-- {
		for _, n := range strokes[j].notes {
			under[n.key] = true
		}
		if !plainCovers(hand, under) || first < len(strokes) && strokes[j].end < strokes[first].place {
			break
		}
		first = j
	}
	if n := len(strokes); n-first < 4 {
		if n-first > 1 && len(strokes[n-1].notes)*len(strokes[n-2].notes) == 1 && strokes[n-1].at-strokes[n-2].at <= tick/4 {
			if d := strokes[n-1].notes[0].key - strokes[n-2].notes[0].key; d == 12 || d == -12 {
				return n - 2
			}
		}
		return n
	}
	return first
}

func plainWay(a, b plainNote) float64 {
	return max(plainX(b.key)-plainX(a.key), plainX(a.key)-plainX(b.key))
}

// plainLeap returns the notes between which the way is measured.
func plainLeap(hand score.Hand, from, to []plainNote) (a, b plainNote, ok bool) {
	low0, low1 := from[0], to[0]
	high0, high1 := from[len(from)-1], to[len(to)-1]
	whole := plainX(max(high0.key, high1.key)) - plainX(min(low0.key, low1.key))
	up := low1.key > low0.key && high1.key > high0.key
	down := low1.key < low0.key && high1.key < high0.key
	if whole <= plainReach || !up && !down {
		return a, b, false
	}
	a, b = low0, low1
	if bottom, top := plainWay(low0, low1), plainWay(high0, high1); top < bottom || top == bottom && hand == score.Right {
		a, b = high0, high1
	}
	return a, b, b.key-a.key >= 3 || a.key-b.key >= 3
}

func plainOctaves(p *plain) []string {
	var found []string
	octave := func(hand score.Hand, notes []plainNote) bool {
		if len(notes) < 2 {
			return false
		}
		wide := notes[len(notes)-1].key - notes[0].key
		if wide != 12 && (hand != score.Both || wide == 0 || wide%12 != 0) {
			return false
		}
		found = append(found, fmt.Sprintf("%d %s %s", notes[0].on, hand, fmt.Sprint(plainNames(notes), true)))
		return true
	}
	signed := map[string]bool{}
	for _, notes := range p.spreads {
		var own [2][]plainNote
		for _, n := range notes {
			own[n.hand] = append(own[n.hand], n)
			signed[fmt.Sprint(n.hand, n.on)] = true
		}
		switch {
		case len(own[0]) == 0:
			octave(score.Left, notes)
		case len(own[1]) == 0:
			octave(score.Right, notes)
		case !octave(score.Both, notes):
			octave(score.Right, own[0])
			octave(score.Left, own[1])
		}
	}
	for _, hand := range []score.Hand{score.Right, score.Left} {
		for _, at := range p.attacks(hand) {
			notes := p.struck(hand, at, false)
			low, high := notes[0].key, notes[len(notes)-1].key
			if !signed[fmt.Sprint(hand, at)] && (high-low == 12 || high-low > 12 && len(notes) == 2) && plainX(high)-plainX(low) > plainReach {
				found = append(found, fmt.Sprintf("%d %s %s", at, hand, fmt.Sprint(plainNames(notes), false)))
			}
		}
	}
	return found
}

// plainNames names each key once.
func plainNames(notes []plainNote) []string {
	var names []string
	named := map[int]bool{}
	for _, n := range notes {
		if !named[n.key] {
			names = append(names, n.name)
		}
		named[n.key] = true
	}
	return names
}
