package drill

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/notation"
)

// piece is a report's score, laid out so that its bars can be written anew.
type piece struct {
	*detect.Report
	heads     [][]head     // by bar
	arpeggios map[int]*int // index into Score.Arpeggios, by note
}

// head is one written note.
type head struct {
	note, head int // indices into Score.Notes and its Heads
	score.Head
}

func newPiece(r *detect.Report) *piece {
	p := &piece{Report: r, heads: make([][]head, len(r.Score.Bars)), arpeggios: map[int]*int{}}
	for i := range r.Score.Notes {
		for j, h := range r.Score.Notes[i].Heads {
			p.heads[h.Bar] = append(p.heads[h.Bar], head{i, j, h})
		}
	}
	for i, s := range r.Score.Arpeggios {
		for _, n := range s.Notes {
			p.arpeggios[n] = &i
		}
	}
	return p
}

// passage is the bars of a hot spot that its drills are made of.
type passage struct {
	*piece
	spot          *detect.Spot
	o             *detect.Occurrence // the hardest
	first, last   int                // indices into Score.Bars
	start, target detect.Pace
	involved      map[int]bool // notes of the spot
}

// mostBars is how many bars are drilled at a time: as many as one keeps in the
// ear. Common practice.
const mostBars = 4

// newPassage takes the bars of a spot, or of a long one those in which it is
// hardest.
func newPassage(p *piece, spot *detect.Spot) *passage {
	g := &passage{piece: p, spot: spot, o: &spot.Occurrences[spot.Hardest], first: spot.FirstBar, last: spot.LastBar, involved: map[int]bool{}}
	g.start, g.target = p.Paces(spot)
	for _, o := range spot.Occurrences {
		for _, n := range o.Notes {
			g.involved[n] = true
		}
	}
	if g.last-g.first < mostBars {
		return g
	}
	from, to := p.Score.BarAt(g.o.From), p.Score.BarEnding(g.o.To)
	if r, ok := g.o.Exercise.(detect.Rhythms); ok {
		from = p.Score.BarAt(r.Hardest)
	}
	spare := max(mostBars-(to-from+1), 0)
	g.first = min(max(from-spare/2, g.first), g.last-mostBars+1)
	g.last = g.first + mostBars - 1
	return g
}

// barsNamed names bars as printed: "bar 12" or "bars 12–15".
func (p *piece) barsNamed(first, last int) string {
	if first == last {
		return "bar " + p.Score.Bars[first].Number
	}
	return fmt.Sprintf("bars %s–%s", p.Score.Bars[first].Number, p.Score.Bars[last].Number)
}

// keeps says which notes of the piece, by their index, an exercise has.
type keeps func(note int) bool

func everything(int) bool { return true }

// only keeps one hand.
func (p *piece) only(hand score.Hand) keeps {
	return func(note int) bool { return p.Score.Notes[note].Hand == hand }
}

// bars writes bars of the piece anew, each as a full bar.
func (g *passage) bars(first, last int, keep keeps) []bar {
	var all []bar
	for _, f := range g.frames(first, last) {
		b := bar{time: f.time, key: f.key}
		for _, hand := range []score.Hand{score.Right, score.Left} {
			b.hands[hand] = g.voices(f, hand, first, last, keep)
		}
		b.complete()
		all = append(all, b)
	}
	return all
}

// frame is a full bar, and the bars of the piece that go into it.
type frame struct {
	time  score.Time
	key   score.Key
	parts []part
}

// part is a bar of the piece, and where in the frame it begins.
type part struct {
	bar int
	at  score.Rat
}

// frames makes full bars of bars of the piece. Short bars that make up one
// are joined; others are filled up with rests, a pickup in front. A bar that
// is longer than its time signature, or has none, gets one that fits.
func (p *piece) frames(first, last int) []frame {
	var all []frame
	for i := first; i <= last; {
		b := &p.Score.Bars[i]
		f := frame{time: fullTime(b), key: b.Key}
		var at score.Rat
		if n := p.joined(i, last); n == 1 && (b.Implicit || i == 0) {
			at = f.time.Length.Sub(b.Length)
		} else {
			for ; n > 1; n-- {
				f.parts = append(f.parts, part{i, at})
				at = at.Add(p.Score.Bars[i].Length)
				i++
			}
		}
		f.parts = append(f.parts, part{i, at})
		all = append(all, f)
		i++
	}
	return all
}

// joined is how many bars from one on make up a full bar; 1 where it is full
// itself or none do.
func (p *piece) joined(first, last int) int {
	time := p.Score.Bars[first].Time
	var length score.Rat
	for i := first; i <= last && p.Score.Bars[i].Time == time; i++ {
		length = length.Add(p.Score.Bars[i].Length)
		switch length.Cmp(time.Length) {
		case 0:
			return i - first + 1
		case 1:
			return 1
		}
	}
	return 1
}

// fullTime is a bar's time signature, or where that does not hold the bar, one
// that does.
func fullTime(b *score.Bar) score.Time {
	if b.Time.Length.Cmp(b.Length) >= 0 && writable(b.Time) {
		return b.Time
	}
	return timeOf(b.Length)
}

// writable reports whether the lengths of a signature are note values.
func writable(t score.Time) bool {
	_, types := notation.Fractions(t)
	for _, lower := range types {
		if n, err := strconv.Atoi(lower); err != nil || n < 1 || n&(n-1) != 0 {
			return false
		}
	}
	return len(types) > 0
}

// timeOf is a time signature for a bar of some length. What no signature has
// is filled up to the next quarter.
func timeOf(length score.Rat) score.Time {
	for unit := int64(4); unit <= 64; unit *= 2 {
		if beats := length.Mul(score.R(unit, 4)); beats.Den() == 1 {
			return score.Time{Beats: beats.String(), BeatType: int(unit), Length: length}
		}
	}
	quarters := int64(floor(length, score.Int(1)) + 1)
	return score.Time{Beats: strconv.FormatInt(quarters, 10), BeatType: 4, Length: score.Int(quarters)}
}

// voices are what a hand plays in a frame, voice by voice.
func (g *passage) voices(f frame, hand score.Hand, first, last int, keep keeps) []voice {
	var all []placed
	for _, pt := range f.parts {
		for _, h := range g.heads[pt.bar] {
			n := &g.Score.Notes[h.note]
			if n.Hand != hand || !keep(h.note) || !g.shows(h) {
				continue
			}
			at := pt.at.Add(h.Onset.Sub(g.Score.Bars[pt.bar].Start))
			t := tone{pitch: n.Pitch, from: g.tied(h, -1, first, last), to: g.tied(h, 1, first, last)}
			if !t.from {
				t.note, t.arpeggio = n, g.arpeggios[h.note]
			}
			all = append(all, placed{at, h.Length, h.Voice, n.Grace, t})
		}
	}
	return arrange(all)
}

// shows reports whether a written note is printed. Hidden notes only play out
// what a sign stands for, or the ring of a pedal, but for those of the hot spot.
func (g *passage) shows(h head) bool {
	n := &g.Score.Notes[h.note]
	return (!h.Hidden || h.head == 0 && g.involved[h.note]) && (n.Grace > 0 || h.Length.Sign() > 0)
}

// tied reports whether the written note before, −1, or after, 1, that a head is
// tied to is printed within some bars.
func (g *passage) tied(h head, way, first, last int) bool {
	heads := g.Score.Notes[h.note].Heads
	i := h.head + way
	if i < 0 || i >= len(heads) || heads[i].Bar < first || heads[i].Bar > last {
		return false
	}
	return g.shows(head{h.note, i, heads[i]})
}

// placed is one tone on its way into a voice.
type placed struct {
	at, length score.Rat
	voice      string
	grace      int
	tone
}

// arrange puts tones into as few voices as hold them. The voices of the piece
// are kept apart where they overlap.
func arrange(all []placed) []voice {
	main := slices.DeleteFunc(slices.Clone(all), func(t placed) bool { return t.grace > 0 })
	slices.SortStableFunc(main, func(a, b placed) int {
		return cmp.Or(compareVoices(a.voice, b.voice), a.at.Cmp(b.at), b.length.Cmp(a.length), byPitch(a.tone, b.tone))
	})
	var voices []voice
	began := 0 // the first voice that holds the piece's voice in hand
	for i, t := range main {
		if i > 0 && main[i-1].voice != t.voice {
			voices = merged(voices, began)
			began = len(voices)
		}
		voices = put(voices, began, t)
	}
	voices = merged(voices, began)
	addGrace(voices, all)
	return voices
}

// addGrace puts grace notes before the first sound at their place.
func addGrace(voices []voice, all []placed) {
	grace := slices.DeleteFunc(slices.Clone(all), func(t placed) bool { return t.grace == 0 })
	slices.SortStableFunc(grace, func(a, b placed) int {
		return cmp.Or(a.at.Cmp(b.at), cmp.Compare(a.grace, b.grace), byPitch(a.tone, b.tone))
	})
	for i, t := range grace {
		s := soundAt(voices, t.at)
		switch {
		case s == nil:
		case i > 0 && grace[i-1].at == t.at && grace[i-1].grace == t.grace:
			last := &s.grace[len(s.grace)-1]
			*last = append(*last, t.tone)
		default:
			s.grace = append(s.grace, []tone{t.tone})
		}
	}
}

func soundAt(voices []voice, at score.Rat) *sound {
	for _, v := range voices {
		for i := range v {
			if v[i].at == at {
				return &v[i]
			}
		}
	}
	return nil
}

// put adds a tone to the first voice from one on that has room for it.
func put(voices []voice, from int, t placed) []voice {
	s := sound{at: t.at, length: t.length, tones: []tone{t.tone}}
	for i := from; i < len(voices); i++ {
		v := voices[i]
		switch last := &v[len(v)-1]; {
		case last.at == t.at && last.length == t.length:
			last.tones = append(last.tones, t.tone)
			return voices
		case last.end().Cmp(t.at) <= 0:
			voices[i] = append(v, s)
			return voices
		}
	}
	return append(voices, voice{s})
}

// merged moves the voices from one on into those before, where they have room.
func merged(voices []voice, from int) []voice {
	kept := voices[:from]
	for _, v := range voices[from:] {
		i := slices.IndexFunc(kept, v.fitsInto)
		if i < 0 {
			kept = append(kept, v)
			continue
		}
		kept[i] = append(kept[i], v...)
		slices.SortStableFunc(kept[i], func(a, b sound) int { return a.at.Cmp(b.at) })
	}
	return kept
}

// fitsInto reports whether no sound of v lies over one of w.
func (v voice) fitsInto(w voice) bool {
	for _, a := range v {
		for _, b := range w {
			if a.at.Less(b.end()) && b.at.Less(a.end()) {
				return false
			}
		}
	}
	return true
}

// compareVoices sorts names of voices by their number.
func compareVoices(a, b string) int {
	return cmp.Or(cmp.Compare(len(a), len(b)), strings.Compare(a, b))
}

// plays reports whether a hand strikes anything in the passage.
func (g *passage) plays(hand score.Hand) bool {
	for _, b := range g.bars(g.first, g.last, g.only(hand)) {
		if len(b.hands[hand]) > 0 {
			return true
		}
	}
	return false
}
