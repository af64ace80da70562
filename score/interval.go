package score

import "fmt"

var (
	bySemitones = []string{
		"", "a semitone", "a whole tone", "a minor third", "a major third", "a fourth", "a tritone",
		"a fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh",
	}
	bySteps = []string{"", "a step", "a third", "a fourth", "a fifth", "a sixth", "a seventh"}
)

// IntervalName says how far something is transposed: "a fourth higher", "an
// octave and a semitone lower"; "at the same pitch" for 0.
func IntervalName(semitones int) string { return intervalName(semitones, bySemitones) }

// StepsName says how far something is moved on the staff, whatever the
// accidentals: "a step higher", "an octave and a third lower"; "at the same
// pitch" for 0.
func StepsName(steps int) string { return intervalName(steps, bySteps) }

// Interval says how wide a number of semitones is, up or down: "a fourth",
// "two octaves and a semitone"; "" for 0.
func Interval(semitones int) string { return width(max(semitones, -semitones), bySemitones) }

// intervalName counts in octaves of names.
func intervalName(n int, names []string) string {
	switch {
	case n == 0:
		return "at the same pitch"
	case n < 0:
		return width(-n, names) + " lower"
	}
	return width(n, names) + " higher"
}

func width(n int, names []string) string {
	octaves, rest := n/len(names), names[n%len(names)]
	name := ""
	switch octaves {
	case 0:
		return rest
	case 1:
		name = "an octave"
	case 2, 3, 4, 5, 6, 7:
		name = [...]string{"two", "three", "four", "five", "six", "seven"}[octaves-2] + " octaves"
	default:
		name = fmt.Sprintf("%d octaves", octaves)
	}
	if rest != "" {
		name += " and " + rest
	}
	return name
}
