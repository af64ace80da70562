package detect

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/scoretest"
)

// eventsIn describes a hand's events: "2: E4 over C3 after D4" is E4 struck at
// 2 quarters while C3 is held, with the grace note D4 before it.
func eventsIn(s *score.Score, hand score.Hand) string {
	p := &Pass{Score: s, Events: events(s)}
	var all []string
	for _, e := range p.Events[hand] {
		text := fmt.Sprintf("%s: %s", e.At, strings.Join(AllPretty(p.Pitches(e.Struck)), "+"))
		if len(e.Held) > 0 {
			text += " over " + strings.Join(AllPretty(p.Pitches(e.Held)), "+")
		}
		if len(e.Grace) > 0 {
			text += " after " + strings.Join(AllPretty(p.Pitches(e.Grace)), " ")
		}
		all = append(all, text)
	}
	return strings.Join(all, ", ")
}

func TestEvents(t *testing.T) {
	for _, c := range []struct {
		name   string
		voices []string
		want   string
	}{
		{"notes and rests", []string{"C4:1 r:1 E4:2"}, "0: C4, 2: E4"},
		{"a chord is low to high", []string{"G4+C4+E4:4"}, "0: C4+E4+G4"},
		{"two voices", []string{"G4:2 A4:2", "C4:1 D4:2 E4:1"}, "0: C4+G4, 1: D4 over G4, 2: A4 over D4, 3: E4 over A4"},
		{"tied over the barline", []string{"C4:4~ | C4:4", "E4:4 | F4:4"}, "0: C4+E4, 4: F4 over C4"},
		{"a unison is one key, held as long as the longer", []string{"C4:1 E4:1 F4:2", "C4:4"}, "0: C4, 1: E4 over C4, 2: F4 over C4"},
		{"whichever voice is the longer", []string{"C4:4", "C4:1 E4:1 F4:2"}, "0: C4, 1: E4 over C4, 2: F4 over C4"},
		{"a key struck anew is not held", []string{"C4:4", "r:1 C4:1 E4:2"}, "0: C4, 1: C4, 2: E4 over C4"},
		{"grace notes come with their note, in order", []string{"C4:2 gE4 gD4 C4:2"}, "0: C4, 2: C4 after E4 D4"},
	} {
		s := scoretest.Piece{Right: c.voices, Left: []string{"C2:1 D2:1 E2:1 F2:1"}}.Score(t)
		if got := eventsIn(s, score.Right); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
		if got, want := eventsIn(s, score.Left), "0: C2, 1: D2, 2: E2, 3: F2"; got != want {
			t.Errorf("%s: the other hand has %q", c.name, got)
		}
	}
}
