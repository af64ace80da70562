package detect

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardbars/score"
)

// Speech is how a teacher speaks of a kind.
type Speech struct {
	State    string // of a hand: "in thirds"
	Does     string // "plays thirds"
	Together string // of both hands: "two rhythms at once"
	Skill    string // what it trains, where Together does not say it: "leaps"

	// Says is one place in plain words, without units: "a jump of two octaves
	// down to B♭1 in a fifth of a second". Nil for what its label says.
	Says func(*Occurrence) string
}

// Speech is how a teacher speaks of a kind; of one that has no words of its
// own, by its name.
func (r *Report) Speech(k Kind) Speech {
	i := slices.IndexFunc(r.Kinds, func(d *Detector) bool { return d.Kind == k })
	if i >= 0 && r.Kinds[i].Speech.State != "" {
		return r.Kinds[i].Speech
	}
	name := strings.ReplaceAll(string(k), "-", " ")
	return Speech{State: "with " + name, Does: "has " + name, Together: name}
}

// Both speaks of both hands, with the case in hand: "two rhythms at once, 4 over 3".
func (s Speech) Both(label string) string {
	if label == "" || strings.Contains(label, s.Together) {
		return s.Together
	}
	return s.Together + ": " + strings.ReplaceAll(label, ": ", ", ")
}

// Trains names the skill: "leaps", "thirds".
func (s Speech) Trains() string {
	if s.Skill != "" {
		return s.Skill
	}
	return s.Together
}

// NumberWords is a small number in words: "nine"; a larger one in figures.
func NumberWords(n int) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if 0 <= n && n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

// ManyWords is a number in words with its noun: "one turn", "three turns".
func ManyWords(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return NumberWords(n) + " " + many
}

// spans are times as one says them, in seconds.
var spans = []struct {
	seconds float64
	words   string
}{
	{0.1, "a tenth of a second"}, {0.125, "an eighth of a second"}, {1. / 6, "a sixth of a second"}, {0.2, "a fifth of a second"},
	{0.25, "a quarter of a second"}, {1. / 3, "a third of a second"}, {0.5, "half a second"}, {2. / 3, "two thirds of a second"},
	{0.75, "three quarters of a second"}, {1, "a second"}, {1.5, "a second and a half"}, {2, "two seconds"}, {2.5, "two and a half seconds"},
}

// SecondsWords is a time as one says it, to the nearest: "a fifth of a second".
func SecondsWords(seconds float64) string {
	if seconds < 0.085 {
		return "less than a tenth of a second"
	}
	if seconds >= 2.75 {
		return NumberWords(int(math.Round(seconds))) + " seconds"
	}
	best := spans[0]
	for _, s := range spans {
		if math.Abs(math.Log(s.seconds/seconds)) < math.Abs(math.Log(best.seconds/seconds)) {
			best = s
		}
	}
	return best.words
}

// IntervalBetween says how far two notes are apart: "a tenth" is "an octave
// and a major third".
func IntervalBetween(a, b score.Pitch) string { return score.Interval(b.MIDI() - a.MIDI()) }

// FingerNames names two fingers of one hand: "the thumb and second finger".
func FingerNames(fingers [2]int) string {
	names := [...]string{"", "thumb", "second", "third", "fourth", "little finger"}
	a, b := names[fingers[0]], names[fingers[1]]
	if fingers[1] != 5 {
		b += " finger"
	}
	if fingers[0] > 1 && fingers[1] == 5 {
		a += " finger"
	}
	return "the " + a + " and " + b
}
