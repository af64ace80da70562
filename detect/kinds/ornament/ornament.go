// Package ornament finds trills, turns, mordents, tremolos and groups of grace
// notes.
package ornament

import (
	"fmt"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
	"hardbars/score/perform"
)

// Detector finds the kind ornament.
var Detector = &detect.Detector{
	Kind: "ornament",
	Name: "an ornament",
	Doc: `A sign that stands for more notes than are written, a group of two grace notes or more, or two keys struck in
turn eight times or more in sixteenths or faster, which is a trill or tremolo written out. It is written out for this
tempo: in a trill as many even notes as go in comfort, in parts of a quarter note but no fewer than six a second, from
the note above, the last four a turn where the score writes no ending; three notes where no more fit. The notes above
and below are those of the key, but for an accidental at the sign or earlier in the bar. Demand is the notes a second
over the comfortable rate. A trill asks for three notes in its time, and for no fewer than six a second however slow the
music is; a mordent for three, a turn for four or, after its note, five, in the time of the note but at most a beat;
grace notes for a sixteenth note each, or less where they must share the time since the attack before. Two keys in turn
are judged by eight notes. Tremolo signs ask for what they say; with three beams or more, ten notes a second are enough.
Mordents, turns, trills of three notes and up to four grace notes are over before they tire and weigh 0.6; grace notes
that run one way inside one position 0.4, for the hand rolls them. All weighs a fifth more where the other hand strikes
twice or more after it has begun, and a quarter more where the hand itself has other keys to strike or to hold.`,
	Limits: []detect.Limit{
		detect.TrillRate.Limit(),
		{Name: "slowest trill, in notes a second", Value: "6", Source: "common practice"},
		{Name: "enough for a tremolo of three beams, in notes a second", Value: "10", Source: "common practice"},
		{Name: "longest grace note", Value: "a sixteenth", Source: "common practice"},
		{Name: "weights", Value: "6/5 with the other hand busy, 5/4 with this hand busy, 0.6 for few notes, 0.4 where the hand rolls", Source: "common practice"},
	},
	Basis: detect.CommonPractice,
	Rests: "common practice. Recorded performances cannot tell: notes of an ornament that are not written count " +
		"as added.",
	Telling:  []string{"sign", "written_out", "other_hand"},
	Run:      findOrnaments,
	Speech:   speech,
	Practise: practise,
}

// Common practice.
const (
	fullTremolo = 10.0 // notes a second; three beams or more say "as fast as it goes"
	fullBeams   = 3

	otherHandBusy = 1.2
	sameHandBusy  = 1.25
	handRolls     = 0.4
	shortWeight   = 0.6 // of a mordent, a turn, a short trill, and of few grace notes
	shortGroup    = 4   // grace notes

	graceNotes     = "grace notes"
	trillWritten   = "trill written out"
	tremoloWritten = "tremolo written out"

	mostWritten = 256 // notes of one ornament that are written out
)

// ornament is a sign or a group as it is to be played.
type ornament struct {
	sign     string
	from, to score.Rat
	notes    []int           // indices into Score.Notes, the main note last
	written  [][]score.Pitch // what is struck, in order
	count    int             // of what is struck: len(written), or more where that is cut short
	lasts    score.Rat       // of a sign: the time from the beat that its notes take, in quarters; 0 for others
	seconds  float64         // that it takes
	asked    float64         // notes a second at the least
	fixed    bool            // what is asked does not follow the tempo
	weight   float64
	rolled   bool      // grace notes in one position of the hand
	sameHand bool      // it has other keys to hold or to strike
	ending   string    // of a trill: "turn", "written" or ""
	before   score.Rat // of grace notes: how long before the main note they begin
	other    int       // attacks of the other hand meanwhile
}

// Detail is the JSON detail of an ornament.
type Detail struct {
	Sign       string    `json:"sign"`        // "trill", "turn", "mordent" (downwards), "inverted mordent", "grace notes", "tremolo", …
	Notes      int       `json:"notes"`       // struck in all, grace notes with their main note
	WrittenOut []Chord   `json:"written_out"` // in order
	PerSecond  float64   `json:"per_second"`  // of the notes written out
	Asked      float64   `json:"asked_per_second"`
	Seconds    float64   `json:"seconds"` // that it takes
	Ending     string    `json:"ending,omitempty"`
	BeforeBeat score.Rat `json:"before,omitzero"` // quarters before the main note at which grace notes begin
	OtherHand  int       `json:"other_hand"`      // its attacks meanwhile
	Dynamic    string    `json:"dynamic,omitempty"`

	played []perform.Sign
}

// Chord is keys struck together, low to high.
type Chord []score.Pitch

// MarshalText joins the pitches of a chord in JSON: "C4+E4".
func (c Chord) MarshalText() ([]byte, error) { return []byte(inOne(c, score.Pitch.String, "+")), nil }

// Pretty joins the pitches of a chord with the signs of music: "C4–E♭4".
func (c Chord) Pretty() string { return inOne(c, score.Pitch.Pretty, "–") }

// Played is what is struck for a sign; nothing for what is written as it is
// played.
func (d Detail) Played() []perform.Sign { return d.played }

// handOrnaments looks through one hand.
type handOrnaments struct {
	*detect.Pass
	hand    score.Hand
	attacks []detect.Attack
	answers map[int]bool // the second notes of tremolos
	endings map[int]bool // grace notes that end a trill
}

func findOrnaments(p *detect.Pass) {
	answers := detect.TremoloAnswers(p.Score)
	for _, hand := range []score.Hand{score.Right, score.Left} {
		h := handOrnaments{p, hand, p.Attacks(hand), answers, map[int]bool{}}
		var found []ornament
		found = append(found, h.signs()...)
		found = append(found, h.graces()...)
		found = append(found, h.tremolos()...)
		found = append(found, h.inTurn()...)
		for _, o := range found {
			p.Report(h.occurrence(o))
		}
	}
}

// graces finds groups of grace notes that end no trill.
func (h *handOrnaments) graces() []ornament {
	var found []ornament
	for i, a := range h.attacks {
		groups := h.GraceGroups(slices.DeleteFunc(slices.Clone(a.Grace), func(n int) bool { return h.endings[n] }))
		if len(groups) < 2 {
			continue
		}
		n := score.Int(int64(len(groups)))
		room := h.EndOf(a.Struck).Sub(a.At)
		if i > 0 {
			room = score.Max(room, a.At.Sub(h.attacks[i-1].At))
		}
		if room.Sign() <= 0 {
			continue
		}
		each := score.Min(detect.LongestGrace, room.Div(n.Add(score.Int(1))))
		o := ornament{sign: graceNotes, from: a.At, to: h.EndOf(a.Struck), before: each.Mul(n), weight: 1}
		o.seconds = h.secondsUpTo(a.At, o.before)
		o.asked = float64(len(groups)) / o.seconds
		for _, notes := range append(groups, a.Struck) {
			o.notes = append(o.notes, notes...)
			o.written = append(o.written, h.Pitches(notes))
		}
		o.count = len(o.written)
		switch {
		case h.rolled(groups, a):
			o.weight, o.rolled = handRolls, true
		case len(groups) <= shortGroup:
			o.weight = shortWeight
		}
		h.meanwhile(&o, a.At.Sub(o.before), a.At)
		found = append(found, o)
	}
	return found
}

// secondsUpTo is the time that some quarters before an instant take, and after
// it where the piece has only begun.
func (h *handOrnaments) secondsUpTo(at, quarters score.Rat) float64 {
	from := score.Max(at.Sub(quarters), score.Rat{})
	return h.Clock.Seconds(from, from.Add(quarters))
}

// rolled reports whether grace notes and what follows run one way in one
// position, so that each key has its own finger.
func (h *handOrnaments) rolled(groups [][]int, main detect.Attack) bool {
	var keys []int
	for _, g := range groups {
		keys = append(keys, h.Keys(g)...)
	}
	up, down := slices.IsSorted(keys), slices.IsSortedFunc(keys, func(a, b int) int { return b - a })
	keys = append(keys, detect.Edge(main.Keys, up))
	up, down = up && slices.IsSorted(keys), down && slices.IsSortedFunc(keys, func(a, b int) int { return b - a })
	slices.Sort(keys)
	return up != down && len(slices.Compact(slices.Clone(keys))) == len(keys) && len(keys) <= 5 &&
		hand.Extent(keys) <= h.Player.Hand(h.hand).ComfortableReach()
}

// tremolos finds tremolo signs, on one note or between two.
func (h *handOrnaments) tremolos() []ornament {
	var found []ornament
	for i, a := range h.attacks {
		beams := 0
		for _, n := range a.Struck {
			if !h.answers[n] {
				beams = max(beams, h.Score.Notes[n].Tremolo)
			}
		}
		if beams == 0 || h.EndOf(a.Struck) == a.At {
			continue
		}
		o := ornament{sign: "tremolo", from: a.At, to: h.EndOf(a.Struck), notes: a.Struck, weight: 1, fixed: beams >= fullBeams}
		turn := [][]score.Pitch{h.Pitches(a.Struck)}
		if i+1 < len(h.attacks) && h.answers[h.attacks[i+1].Struck[0]] {
			next := h.attacks[i+1]
			o.to, o.notes = h.EndOf(next.Struck), slices.Concat(a.Struck, next.Struck)
			turn = append(turn, h.Pitches(next.Struck))
		}
		o.lasts, o.seconds = o.to.Sub(o.from), h.Clock.Seconds(o.from, o.to)
		o.asked = o.lasts.Float() * float64(int(1)<<beams) / o.seconds
		if o.fixed {
			o.asked = min(o.asked, fullTremolo)
		}
		o.count = max(2, int(o.asked*o.seconds+0.5))
		for n := range min(o.count, mostWritten) {
			o.written = append(o.written, turn[n%len(turn)])
		}
		h.meanwhile(&o, o.from, o.to)
		found = append(found, o)
	}
	return found
}

// inTurn finds trills and tremolos that are written out, but for those so wide
// that the forearm plays them.
func (h *handOrnaments) inTurn() []ornament {
	var found []ornament
	rotations := h.Rotations(h.hand)
	for _, s := range detect.Alternations(h.attacks) {
		attacks := h.attacks[s.First : s.Last+1]
		first, last := attacks[0], attacks[len(attacks)-1]
		apart := detect.Abs(first.Line(h.hand) - attacks[1].Line(h.hand))
		if apart == detect.OctaveKeys || detect.In(rotations, s.First) {
			continue
		}
		o := ornament{sign: tremoloWritten, from: first.At, to: last.End(), notes: detect.Struck(attacks), weight: 1, count: len(attacks)}
		if len(first.Keys) == 1 && len(attacks[1].Keys) == 1 && apart <= 2 {
			o.sign = trillWritten
		}
		o.seconds = h.Clock.Seconds(o.from, o.to)
		for i := range attacks {
			if i < mostWritten {
				o.written = append(o.written, h.Pitches(attacks[i].Struck))
			}
			if i+detect.LeastInTurn <= len(attacks) {
				o.asked = max(o.asked, detect.LeastInTurn/h.Clock.Seconds(attacks[i].At, attacks[i+detect.LeastInTurn-1].End()))
			}
		}
		h.meanwhile(&o, o.from, o.to)
		found = append(found, o)
	}
	return found
}

// meanwhile counts what the other hand strikes from one instant until before
// another, and lets it weigh where that keeps the player busy.
func (h *handOrnaments) meanwhile(o *ornament, from, to score.Rat) {
	attacks := detect.Line(h.Events[score.Left-h.hand]).Between(from, to)
	o.other = len(attacks)
	if len(attacks) > 0 && attacks[0].At == from {
		attacks = attacks[1:]
	}
	if len(attacks) >= 2 {
		o.weight *= otherHandBusy
	}
}

func (h *handOrnaments) occurrence(o ornament) detect.Occurrence {
	notes := slices.Clone(o.notes)
	slices.Sort(notes)
	weighed := o.asked * o.weight
	comfortable := h.Player.Can(detect.TrillRate)
	d := Detail{
		Sign: o.sign, Notes: o.count, PerSecond: detect.Round3(float64(o.count) / o.seconds), Asked: detect.Round3(o.asked),
		Seconds: detect.Round3(o.seconds), Ending: o.ending, BeforeBeat: o.before, OtherHand: o.other,
		Dynamic: h.Score.DynamicAt(h.hand, o.from),
	}
	if o.before.Sign() > 0 {
		d.PerSecond = d.Asked
	}
	for _, pitches := range o.written {
		d.WrittenOut = append(d.WrittenOut, pitches)
	}
	roll := h.picture(o, notes)
	return detect.Occurrence{
		Hand: h.hand, From: o.from, To: o.to,
		Notes:  notes,
		Demand: weighed / comfortable, Timed: !o.fixed,
		Shape:   o.shape(),
		Label:   o.label(),
		Why:     h.why(o, weighed, comfortable),
		Detail:  d,
		Picture: roll, Exercise: detect.WrittenOut{Chords: o.written, Before: o.before, Signs: h.played(o, notes, roll)},
	}
}

// played is what is struck for the sign at one of some notes.
func (h *handOrnaments) played(o ornament, notes []int, roll detect.PianoRoll) []perform.Sign {
	main := slices.IndexFunc(notes, func(i int) bool {
		n := &h.Score.Notes[i]
		return (len(n.Ornaments) > 0 || n.Tremolo > 0) && n.Length.Sign() > 0
	})
	if main < 0 || o.before.Sign() > 0 {
		return nil
	}
	sign := perform.Sign{Main: notes[main], Notes: notes}
	for _, n := range roll.Notes {
		if n.Picked {
			sign.Struck = append(sign.Struck, perform.Struck{At: n.At, Length: n.Length, Key: n.Key})
		}
	}
	return []perform.Sign{sign}
}

// picture shows grace notes and what is written out as they stand, and a sign
// as the notes that it stands for.
func (h *handOrnaments) picture(o ornament, notes []int) detect.PianoRoll {
	r := h.PianoRoll(score.Max(o.from.Sub(o.before), score.Rat{}), o.to, notes)
	if o.lasts.IsZero() {
		return r
	}
	r.Notes = slices.DeleteFunc(r.Notes, func(n detect.PianoRollNote) bool { return n.Picked && n.Length.Sign() > 0 })
	step := o.lasts.Div(score.Int(int64(o.count)))
	for i, pitches := range o.written {
		at := step.Mul(score.Int(int64(i)))
		length := step
		if i == o.count-1 {
			length = o.to.Sub(o.from).Sub(at)
		}
		for _, p := range pitches {
			r.Notes = append(r.Notes, detect.PianoRollNote{At: at, Length: length, Key: p.MIDI(), Hand: h.hand, Picked: true})
		}
	}
	return r
}

// inOne joins the names of pitches.
func inOne(pitches []score.Pitch, name func(score.Pitch) string, with string) string {
	var names []string
	for _, p := range pitches {
		names = append(names, name(p))
	}
	return strings.Join(names, with)
}

// shape is the sign and the length of its note, and for grace notes how they
// go to it: the same in every key and at every tempo.
func (o *ornament) shape() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s in %s", o.sign, o.to.Sub(o.from))
	if o.sign == graceNotes {
		main := o.written[len(o.written)-1][0].Staff()
		for _, pitches := range o.written {
			fmt.Fprintf(&b, " %+d", pitches[0].Staff()-main)
		}
	}
	return b.String()
}

func (o *ornament) label() string {
	switch o.sign {
	case graceNotes:
		return fmt.Sprintf("%d grace notes", o.count-1)
	case "trill":
		return fmt.Sprintf("trill, %d notes", o.count)
	}
	return o.sign
}

// why says it as a teacher would.
func (h *handOrnaments) why(o ornament, weighed, comfortable float64) string {
	var b strings.Builder
	main := h.Pitch(o.notes[len(o.notes)-1]).Pretty()
	switch o.sign {
	case graceNotes:
		fmt.Fprintf(&b, "%d grace notes, %s, run to %s in the last %.2f s before it, %.0f a second",
			o.count-1, h.inWords(o.written[:len(o.written)-1]), main, o.seconds, o.asked)
	case "trill":
		fmt.Fprintf(&b, "A trill on %s for %.1f s: %d notes, %.1f a second, %s", main, o.seconds,
			o.count, float64(o.count)/o.seconds, h.inWords(o.written))
		switch o.ending {
		case "turn":
			b.WriteString(", the last four a turn")
		case "written":
			b.WriteString(", leading to the ending that is written")
		}
	case "tremolo", tremoloWritten, trillWritten:
		fmt.Fprintf(&b, "A %s, %s, for %.1f s: %d notes, %.1f a second", o.sign, h.inWords(o.written), o.seconds, o.count, o.asked)
	default:
		fmt.Fprintf(&b, "%s on %s: %s, in %.2f s", article(o.sign), main, h.inWords(o.written), o.seconds)
	}
	if o.other > 0 {
		fmt.Fprintf(&b, "; the other hand strikes %s meanwhile", detect.Times(o.other))
	}
	if o.sameHand {
		b.WriteString("; this hand has other keys to hold or strike as well")
	}
	fmt.Fprintf(&b, ". At least %.1f a second are asked for", o.asked)
	switch {
	case o.rolled:
		fmt.Fprintf(&b, "; the hand rolls them in one position, and they count as %.1f", weighed)
	case o.weight != 1:
		fmt.Fprintf(&b, ", and count as %.1f", weighed)
	}
	fmt.Fprintf(&b, ", where %.1f is comfortable.", comfortable)
	return b.String()
}

// inWords lists what is struck; of more than eight, the first six.
func (h *handOrnaments) inWords(written [][]score.Pitch) string {
	const most, shown = 8, 6
	var names []string
	for i, pitches := range written {
		if len(written) > most && i == shown {
			names = append(names, "…")
			break
		}
		names = append(names, inOne(pitches, score.Pitch.Pretty, "–"))
	}
	return strings.Join(names, " ")
}

// article is a name with "A" or "An" before it.
func article(name string) string {
	if strings.ContainsAny(name[:1], "aeiou") {
		return "An " + name
	}
	return "A " + name
}
