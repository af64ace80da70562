package score

// TopLine reports of each note, by its index into Notes, whether it is in the
// line that one hears as the melody where nothing else is said: the highest of
// what sounds as it begins, grace notes with it. Common practice.
func (s *Score) TopLine() []bool {
	top := make([]bool, len(s.Notes))
	var highest int // of what sounds
	var until Rat   // and how long it does
	for first := 0; first < len(s.Notes); {
		next := first
		for next < len(s.Notes) && s.Notes[next].Onset == s.Notes[first].Onset {
			next++
		}
		best := first
		for i := first; i < next; i++ {
			n := &s.Notes[i]
			if n.Grace == 0 && (s.Notes[best].Grace > 0 || n.Pitch.MIDI() > s.Notes[best].Pitch.MIDI()) {
				best = i
			}
		}
		n := &s.Notes[best]
		if !n.Onset.Less(until) || n.Pitch.MIDI() >= highest {
			top[best] = true
			highest, until = n.Pitch.MIDI(), n.End()
			for i := first; i < next; i++ {
				top[i] = top[i] || s.Notes[i].Grace > 0 && s.Notes[i].Hand == n.Hand
			}
		}
		first = next
	}
	return top
}
