package score

import "testing"

func TestIntervalName(t *testing.T) {
	for semitones, want := range map[int]string{
		0: "at the same pitch", 1: "a semitone higher", -2: "a whole tone lower", 5: "a fourth higher", -7: "a fifth lower",
		12: "an octave higher", -12: "an octave lower", 17: "an octave and a fourth higher", 24: "two octaves higher", -25: "two octaves and a semitone lower",
	} {
		if got := IntervalName(semitones); got != want {
			t.Errorf("%d semitones: %s, want %s", semitones, got, want)
		}
	}
}

func TestStepsName(t *testing.T) {
	for steps, want := range map[int]string{0: "at the same pitch", 1: "a step higher", -2: "a third lower", 7: "an octave higher", -9: "an octave and a third lower", 14: "two octaves higher"} {
		if got := StepsName(steps); got != want {
			t.Errorf("%d steps: %s, want %s", steps, got, want)
		}
	}
}
