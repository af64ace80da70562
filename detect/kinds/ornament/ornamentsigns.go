package ornament

import (
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// signOf names the signs by their elements in MusicXML; of two at one note the
// first here is played. "mordent" goes down and "inverted-mordent" up, as
// MusicXML has it.
var signOf = []struct{ element, sign string }{
	{"trill-mark", "trill"}, {"wavy-line", "trill"},
	{"turn", "turn"}, {"vertical-turn", "turn"}, {"haydn", "turn"}, {"delayed-turn", "delayed turn"},
	{"inverted-turn", "inverted turn"}, {"inverted-vertical-turn", "inverted turn"}, {"delayed-inverted-turn", "delayed inverted turn"},
	{"mordent", "mordent"}, {"inverted-mordent", "inverted mordent"}, {"shake", "inverted mordent"},
	{"schleifer", "slide"},
}

// stepsOf are the notes of the signs that have a fixed number of them, as
// steps from the main note.
var stepsOf = map[string][]int{
	"turn": {1, 0, -1, 0}, "delayed turn": {0, 1, 0, -1, 0},
	"inverted turn": {-1, 0, 1, 0}, "delayed inverted turn": {0, -1, 0, 1, 0},
	"mordent": {0, -1, 0}, "inverted mordent": {0, 1, 0},
	"slide": {-2, -1, 0},
}

const (
	shortTrill = 3 // notes: the main one, the one above, the main one again
	turnedFrom = 6 // notes of a trill from which the last four are a turn
)

// signs finds the notes with a sign.
func (h *handOrnaments) signs() []ornament {
	var found []ornament
	for _, a := range h.attacks {
		for _, note := range a.Struck {
			if sign := signAt(&h.Score.Notes[note]); sign != "" {
				found = append(found, h.sign(note, sign))
			}
		}
	}
	return found
}

// signAt is the sign at a note, "" where it has none.
func signAt(n *score.Note) string {
	for _, s := range signOf {
		if n.Length.Sign() > 0 && slices.Contains(n.Ornaments, s.element) {
			return s.sign
		}
	}
	return ""
}

// sign plays a sign at a note.
func (h *handOrnaments) sign(note int, sign string) ornament {
	n := &h.Score.Notes[note]
	o := ornament{sign: sign, from: n.Onset, to: n.End(), notes: []int{note}, weight: 1}
	h.meanwhile(&o, o.from, o.to)
	if o.sameHand = h.alsoBusy(note); o.sameHand {
		o.weight *= sameHandBusy
	}
	if sign == "trill" {
		h.trill(&o, note)
		return o
	}
	beat := h.Score.Bars[n.Bar].Time.Beat()
	o.lasts = score.Min(n.Length, beat)
	o.seconds = h.Clock.Seconds(n.Onset, n.Onset.Add(o.lasts))
	o.write(h.steps(note, stepsOf[sign]))
	o.asked = float64(o.count) / o.seconds
	o.weight *= shortWeight
	return o
}

// write adds notes struck one after the other, as many as are ever written out.
func (o *ornament) write(pitches []score.Pitch) {
	o.count += len(pitches)
	for _, p := range pitches[:min(len(pitches), max(0, mostWritten-len(o.written)))] {
		o.written = append(o.written, []score.Pitch{p})
	}
}

// alsoBusy reports whether the hand of a note has other keys to strike or to
// hold while the note lasts.
func (h *handOrnaments) alsoBusy(note int) bool {
	n := &h.Score.Notes[note]
	own := detect.Line(h.Events[h.hand]).Between(n.Onset, n.End())
	return len(own) != 1 || len(own[0].Struck) > 1 || len(own[0].Held) > 0
}

// trill plays a trill. What it asks for follows the tempo only where the
// slowest trill is not already too much.
func (h *handOrnaments) trill(o *ornament, note int) {
	n := &h.Score.Notes[note]
	o.lasts, o.seconds = n.Length, h.Clock.Seconds(n.Onset, n.End())
	ending := h.graceEnding(n)
	for _, g := range ending {
		h.endings[g] = true
	}
	if len(ending) > 0 || h.goesOnQuickly(n) {
		o.ending = "written"
	}
	switch count := h.trillCount(n.Length, o.seconds) - len(ending); {
	case count < 4:
		o.write(h.steps(note, []int{0, 1, 0}))
	case count >= turnedFrom && o.ending == "":
		o.ending = "turn"
		o.write(h.steps(note, append(shaken(count-4), 1, 0, -1, 0)))
	default:
		o.write(h.steps(note, shaken(count)))
	}
	o.write(h.Pitches(ending))
	o.notes = append(slices.Clone(ending), note)
	o.asked = float64(shortTrill+len(ending)) / o.seconds
	if shortWeight*o.asked > slowestTrill && slowestTrill*o.weight < h.Player.Can(detect.TrillRate) {
		o.weight *= shortWeight
		return
	}
	o.asked, o.fixed = max(shortWeight*o.asked, slowestTrill), true
}

// shaken are the pairs of a trill from the note above, in steps from the main note.
func shaken(count int) []int {
	var steps []int
	for range count / 2 {
		steps = append(steps, 1, 0)
	}
	return steps
}

// partsOfQuarter are the even notes that a trill may have in a quarter note.
var partsOfQuarter = []int64{2, 3, 4, 6, 8, 12, 16}

// trillCount is how many notes of a trill go into a length: pairs, in even
// parts of a quarter note; as many as go in comfort, but no slower than the
// slowest trill.
func (h *handOrnaments) trillCount(length score.Rat, seconds float64) int {
	count, slow := 0, true
	for _, parts := range partsOfQuarter {
		fit := length.Mul(score.Int(parts))
		rate := detect.Round3(fit.Float() / seconds)
		if !slow && rate > h.Player.Can(detect.TrillRate) {
			break
		}
		count, slow = int(fit.Num()/fit.Den())/2*2, rate < slowestTrill
	}
	return count
}

// after is what the hand strikes where a note ends, as attacks from there on;
// nil where it strikes nothing then.
func (h *handOrnaments) after(n *score.Note) []detect.Attack {
	i, found := slices.BinarySearchFunc(h.attacks, n.End(), func(a detect.Attack, at score.Rat) int { return a.At.Cmp(at) })
	if !found {
		return nil
	}
	return h.attacks[i:]
}

// graceEnding are up to three grace notes of the note's voice that follow it
// directly: the ending of a trill.
func (h *handOrnaments) graceEnding(n *score.Note) []int {
	next := h.after(n)
	if len(next) == 0 || len(next[0].Grace) > 3 {
		return nil
	}
	for _, g := range next[0].Grace {
		if h.Score.Notes[g].Voice != n.Voice {
			return nil
		}
	}
	return next[0].Grace
}

// goesOnQuickly reports whether the hand goes on with two notes of a sixteenth or
// less, the first of them next to the note: a trill's ending, written as notes.
func (h *handOrnaments) goesOnQuickly(n *score.Note) bool {
	next := h.after(n)
	if len(next) < 2 {
		return false
	}
	a, b := &next[0], &next[1]
	return !detect.LongestGrace.Less(a.Step) && !detect.LongestGrace.Less(b.Step) && !a.Rest && len(a.Keys) == 1 && detect.Abs(a.Keys[0]-n.Pitch.MIDI()) <= 2
}

// steps are the pitches of an ornament, given as steps from its main note.
func (h *handOrnaments) steps(note int, steps []int) []score.Pitch {
	known := map[int]score.Pitch{}
	pitches := make([]score.Pitch, len(steps))
	for i, step := range steps {
		if _, ok := known[step]; !ok {
			known[step] = h.auxiliary(note, step)
		}
		pitches[i] = known[step]
	}
	return pitches
}

// auxiliary is the pitch some steps from a note: with the accidental at the
// sign; or else as it was last played in the bar on its line or space; or else
// as the key has it. Where that is no semitone and no tone for a single step,
// it is taken to the nearer of the two.
func (h *handOrnaments) auxiliary(note, step int) score.Pitch {
	n := &h.Score.Notes[note]
	if step == 0 {
		return n.Pitch
	}
	aux := score.PitchAt(n.Pitch.Staff()+step, 0)
	if alter, ok := score.AccidentalAlter(map[int]string{1: n.AuxAbove, -1: n.AuxBelow}[step]); ok {
		aux.Alter = alter
		return aux
	}
	aux.Alter = h.Score.Bars[n.Bar].Key.Alter(aux.Step)
	for i := note - 1; i >= 0 && h.Score.Notes[i].Bar == n.Bar; i-- {
		if m := &h.Score.Notes[i]; m.Staff == n.Staff && m.Pitch.Staff() == aux.Staff() && m.Onset.Less(n.Onset) {
			aux.Alter = m.Pitch.Alter
			break
		}
	}
	if step == 1 || step == -1 {
		way := (aux.MIDI() - n.Pitch.MIDI()) * step
		aux.Alter += (min(max(way, 1), 2) - way) * step
	}
	return aux
}
