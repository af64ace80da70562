package softcontrol

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// softIn describes the soft places of a hand: "chord E3@0".
func softIn(found []detect.Occurrence, hand score.Hand) string {
	var all []string
	for _, o := range found {
		if d := o.Detail.(Detail); o.Hand == hand {
			all = append(all, fmt.Sprintf("%s %s@%s", d.Cause, detecttest.Join(d.AtRisk, "+"), o.From))
		}
	}
	return strings.Join(all, ", ")
}

func TestSoftPlaces(t *testing.T) {
	const trill = "E5:1/4 D#5:1/4 E5:1/4 D#5:1/4 "
	for _, c := range []struct{ name, right, want string }{
		{"two keys in turn", "@pp " + trill + "r:3", "repeated figure D#5+E5@0"},
		{"one key", "@pp E5:1/2 E5:1/2 E5:1/2 E5:1/2 r:2", "repeated figure E5@0"},
		{"the key that comes again soonest is at risk", "@pp C4:1/4 G4:1/4 E4:1/4 G4:1/4 C4:1/4 G4:1/4 E4:1/4 G4:1/4 r:2", "repeated figure G4@0"},
		{"three strokes are no figure", "@pp E5:1/2 D5:1/2 E5:1/2 r:5/2", ""},
		{"once and a half is no figure", "@pp C5:1/2 D5:1/2 E5:1/2 F5:1/2 C5:1/2 D5:1/2 r:1", ""},
		{"a scale is no figure", "@pp C5:1/2 D5:1/2 E5:1/2 F5:1/2 G5:1/2 A5:1/2 B5:1/2 C6:1/2", ""},
		{"another rhythm is another figure", "@pp E5:1/2 D5:1/2 E5:1/4 D5:1/4 r:5/2", ""},
		{"with a long wait in it", "@pp E5:1/4 D5:1/4 r:3/2 E5:1/4 D5:1/4 r:3/2", ""},
		{"softer still", "@pppp " + trill + "r:3", "repeated figure D#5+E5@0"},
		{"p is not soft enough", "@p " + trill + "r:3", ""},
		{"no mark", trill + "r:3", ""},
		{"soft before and loud now", "@pp r:1 @f " + trill + "r:2", ""},
		{"dying away from p", `@p @"dim." ` + trill + "r:3", "repeated figure D#5+E5@0"},
		{"dying away, and nothing said before", `@"morendo" ` + trill + "r:3", "repeated figure D#5+E5@0"},
		{"a diminuendo from f is still loud", `@f @"dim." ` + trill + "r:3", ""},
		{"a crescendo from p", `@p @"cresc." ` + trill + "r:3", ""},
		{"a crescendo after the diminuendo", `@p @"dim." E5:1 @"cresc." ` + trill + "r:2", ""},
		{"a diminuendo from mp that arrives at pp", `@mp @"dim." ` + trill + "r:3 | r:4 | @pp r:4", "repeated figure D#5+E5@0"},
		{"a diminuendo from mp that arrives at p", `@mp @"dim." ` + trill + "r:3 | r:4 | @p r:4", ""},
		{"a diminuendo without an end lasts two bars", `@p @"dim." r:4 | r:4 | r:1 ` + trill + "r:2", ""},
		{"a chord", "@pp C4+E4+G4:4", "chord G4@0"},
		{"two keys are no chord", "@pp C4+G4:4", ""},
		{"a spread chord", "@pp C4+E4+G4:4^", ""},
		{"chords in a row are one place", "@pp C4+E4+G4:1 D4+F4+A4+C5:1 r:2", "chord C5@0"},
		{"a loud chord", "@mf C4+E4+G4:4", ""},
		{"a soft landing", "@pp C4:1 C6:3", "landing C6@0"},
		{"loud, and a soft landing", "@f C4:1 @pp C6:3", "landing C6@0"},
		{"soft, and a loud landing", "@pp C4:1 @f C6:3", "before a leap C4@0"},
		{"a loud leap", "@f C4:1 C6:3", ""},
		{"no leap", "@pp C4:1 C5:3", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: []string{"r:4"}}.Score(t), detect.DefaultPlayer())
			if got := softIn(found, score.Right); got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// The fifth finger of the left hand is at the bottom.
func TestSoftChordOfTheLeftHand(t *testing.T) {
	found := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: []string{"@pp C3+E3+G3:4"}}.Score(t), detect.DefaultPlayer())
	if got, want := softIn(found, score.Left), "chord C3@0"; got != want {
		t.Errorf("found %q, want %q", got, want)
	}
}

// A hairpin within a phrase at p is no dying away; one of a bar is.
func TestHairpins(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Right: []string{"@p " + strings.Repeat("E5:1/2 D5:1/2 ", 4)}, Left: []string{"r:4"}}.Score(t)
	for end, want := range map[int64]int{2: 0, 3: 1, 4: 1} {
		s.Hairpins = []score.Hairpin{{To: score.Int(end), Hand: score.Both}}
		if found := Detector.Find(s, detect.DefaultPlayer()); len(found) != want {
			t.Errorf("a hairpin of %d quarters: %d places, want %d", end, len(found), want)
		}
	}
}

// Sixteenths at 75 on one key are 5 a second, where 6 are comfortable for a
// returning player; two keys in turn come again half as often, four a quarter as often;
// three keys of five are 0.6, and six are all that counts; a landing after a
// quarter note at 75, 0.8 s, has twice the time that is comfortable.
func TestSoftDemand(t *testing.T) {
	for _, c := range []struct {
		right string
		want  float64
		timed bool
	}{
		{"@pp E5:1/4 E5:1/4 E5:1/4 E5:1/4 r:3", 5.0 / 6, true},
		{"@pp E5:1/4 D5:1/4 E5:1/4 D5:1/4 r:3", math.Sqrt(0.5) * 5 / 6, true},
		{"@pp C4:1/4 D4:1/4 E4:1/4 F4:1/4 C4:1/4 D4:1/4 E4:1/4 F4:1/4 r:2", 2.5 / 6, true},
		{"@pp C4+E4+G4:4", 0.6, false},
		{"@pp C4+D4+E4+F4+G4+A4:4", 1, false},
		{"@pp C4:1 C6:3", 0.4 / 0.8, true},
	} {
		found := Detector.Find(scoretest.Piece{QPM: 75, Right: []string{c.right}, Left: []string{"r:4"}}.Score(t), detect.DefaultPlayer())
		if len(found) != 1 || math.Abs(found[0].Demand-c.want) > 1e-9 || found[0].Timed != c.timed {
			t.Errorf("%s: %+v, want one of demand %g", c.right, found, c.want)
		}
	}
}
