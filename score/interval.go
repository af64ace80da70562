package score

import "fmt"

var intervals = [12]string{
	"", "a semitone", "a whole tone", "a minor third", "a major third", "a fourth", "a tritone",
	"a fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh",
}

// IntervalName says how far something is transposed: "a fourth higher", "an
// octave and a semitone lower"; "at the same pitch" for 0.
func IntervalName(semitones int) string {
	way := "higher"
	if semitones < 0 {
		semitones, way = -semitones, "lower"
	}
	octaves, rest := semitones/12, intervals[semitones%12]
	switch octaves {
	case 0:
		if semitones == 0 {
			return "at the same pitch"
		}
		return rest + " " + way
	case 1:
		return andInterval("an octave", rest) + " " + way
	}
	return andInterval(fmt.Sprintf("%d octaves", octaves), rest) + " " + way
}

func andInterval(octaves, rest string) string {
	if rest == "" {
		return octaves
	}
	return octaves + " and " + rest
}
