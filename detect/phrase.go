package detect

import (
	"fmt"
	"strings"

	"hardbars/score"
)

func UpDown(semitones int) string {
	if semitones < 0 {
		return "down"
	}
	return "up"
}

// Pitch is the pitch of a note, an index into Score.Notes.
func (p *Pass) Pitch(note int) score.Pitch { return p.Score.Notes[note].Pitch }

// Pitches are the pitches of notes, in their order.
func (p *Pass) Pitches(notes []int) []score.Pitch {
	pitches := make([]score.Pitch, len(notes))
	for i, n := range notes {
		pitches[i] = p.Pitch(n)
	}
	return pitches
}

// StruckIn are the notes that events strike, in order.
func StruckIn(events []Event) []int {
	var notes []int
	for _, e := range events {
		notes = append(notes, e.Struck...)
	}
	return notes
}

// EndOf is where the last of notes ends.
func (p *Pass) EndOf(notes []int) score.Rat {
	var end score.Rat
	for _, n := range notes {
		end = score.Max(end, p.Score.Notes[n].End())
	}
	return end
}

// ShapeOf is the intervals of events from the first note on, in staff steps,
// and the time from each to the next: the same in every key.
func (p *Pass) ShapeOf(events []Event) string {
	var b strings.Builder
	first := p.Pitch(events[0].Struck[0]).Staff()
	for i, e := range events {
		if i > 0 {
			fmt.Fprintf(&b, " %s:", e.At.Sub(events[i-1].At))
		}
		for j, n := range e.Struck {
			if j > 0 {
				b.WriteByte('/')
			}
			fmt.Fprintf(&b, "%+d", p.Pitch(n).Staff()-first)
		}
	}
	return b.String()
}

// Fastest is the highest rate over three successive attacks, in attacks a
// second; 0 for fewer.
func (p *Pass) Fastest(at []score.Rat) float64 {
	rate := 0.0
	for i := 0; i+2 < len(at); i++ {
		rate = max(rate, 2/p.Clock.Seconds(at[i], at[i+2]))
	}
	return rate
}

// Instants are when events happen.
func Instants(events []Event) []score.Rat {
	at := make([]score.Rat, len(events))
	for i, e := range events {
		at[i] = e.At
	}
	return at
}

// PrettyNames lists notes as a pianist writes them: "D♯5, E5 and G5".
func (p *Pass) PrettyNames(notes []int) string {
	names := make([]string, len(notes))
	for i, n := range notes {
		names[i] = p.Pitch(n).Pretty()
	}
	return Enumerate(names)
}

// Enumerate joins words as a sentence does: "one, two and three".
func Enumerate(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
