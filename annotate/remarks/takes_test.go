package remarks

import (
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score/scoretest"
)

// A line that gives notes to a hand is one however people spell it; any other
// sentence with the word is a remark and no more.
func TestTaken(t *testing.T) {
	s := scoretest.Piece{Right: []string{"C5:4 | D5:4"}, Left: []string{"Bb1:2 F3:2 | Bb1:4"}}.Score(t)
	for _, test := range []struct {
		line string
		want string // the notes that go over, by bar
	}{
		{"bar 1: right hand takes B♭1", "1Bb1"},
		{"bar 1 right: takes bb1", "1Bb1"},
		{"bar 1: RH takes B flat 1", "1Bb1"},
		{"bar 1: right hand takes A#1 and F3.", "1Bb1 1F3"},
		{"bars 1-2: the right hand takes over", ""},
		{"bars 1-2: right hand takes Bb1", "1Bb1 2Bb1"},
		{"bar 1: right hand takes time", ""},
		{"bar 1: takes Bb1", ""},
		{"bar 2: left hand takes D5", "2D5"},
	} {
		page, err := Parse([]byte(test.line))
		if err != nil {
			t.Fatal(err)
		}
		taken, err := page.Taken(s)
		if err != nil {
			t.Errorf("%s: %v", test.line, err)
		}
		var got []string
		for _, n := range hand.Assign(s, detect.DefaultPlayer().Hands(), taken).Notes {
			if n.Reason != "" {
				got = append(got, s.Bars[n.Bar].Number+n.Pitch.String())
			}
		}
		if got := strings.Join(got, " "); got != test.want {
			t.Errorf("%s: %q, want %q", test.line, got, test.want)
		}
		if (page.Hands() != "") != (test.want != "") {
			t.Errorf("%s: Hands %q", test.line, page.Hands())
		}
	}
	page, _ := Parse([]byte("for: Ida\nbar 2: right hand takes F3"))
	if _, err := page.Taken(s); err == nil || err.Error() != "line 2: bar 2: no F3 is struck there" {
		t.Errorf("a note that is not there: %v", err)
	}
}
