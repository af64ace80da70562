package ornament

import (
	"slices"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/perform"
)

// signs finds the notes with a sign.
func (h *handOrnaments) signs() []ornament {
	var found []ornament
	for _, a := range h.attacks {
		for _, note := range a.Struck {
			if sign := perform.Ornament(&h.Score.Notes[note]); sign != "" {
				found = append(found, h.sign(note, sign))
			}
		}
	}
	return found
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
	o.write(perform.Pitches(h.Score, note, perform.Steps[sign]))
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
	rate := func(notes score.Rat) float64 { return detect.Round3(notes.Float() / o.seconds) }
	count := perform.TrillCount(n.Length, rate, h.Player.Can(detect.TrillRate)) - len(ending)
	steps, turn := perform.Trill(count, o.ending != "")
	if turn {
		o.ending = "turn"
	}
	o.write(perform.Pitches(h.Score, note, steps))
	o.write(h.Pitches(ending))
	o.notes = append(slices.Clone(ending), note)
	o.asked = float64(perform.ShortTrill+len(ending)) / o.seconds
	if shortWeight*o.asked > perform.SlowestTrill && perform.SlowestTrill*o.weight < h.Player.Can(detect.TrillRate) {
		o.weight *= shortWeight
		return
	}
	o.asked, o.fixed = max(shortWeight*o.asked, perform.SlowestTrill), true
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
