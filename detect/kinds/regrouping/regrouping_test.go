package regrouping

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// regroupingsIn describes groups: "right 8 of 3 in 4, contour".
func regroupingsIn(r *detect.Report) string {
	var all []string
	for _, o := range detecttest.Found(r, Detector.Kind) {
		d := o.Detail.(Detail)
		text := fmt.Sprintf("%s %d of %d in %s, %s", o.Hand, d.Groups, d.Group, d.PerBeat, strings.Join(d.ReadFrom, "+"))
		if d.Hemiola {
			text += ", hemiola"
		}
		all = append(all, text)
	}
	return strings.Join(all, "; ")
}

// notes are some keys one after the other, all of one length.
func notes(length, keys string) string {
	return strings.Join(strings.Fields(keys), ":"+length+" ") + ":" + length
}

func TestRegroupingsFound(t *testing.T) {
	for _, c := range []struct {
		name, time, right, want string
	}{
		{"threes across four", "4/4", notes("1/4", "C4 E4 G4 C4 E4 G4 C4 E4 G4 C4 E4 G4") + " C4:1", "right 4 of 3 in 4, contour"},
		{"threes across two", "2/4", notes("1/2", "C4 E4 G4 C4") + " | " + notes("1/2", "E4 G4 C4 E4") + " | " + notes("1/2", "G4 C4 E4 G4"), "right 4 of 3 in 2, contour"},
		{"a sequence of threes", "3/4", notes("1/4", "G4 E4 F4 F4 D4 E4 E4 C4 D4 D4 B3 C4"), "right 4 of 3 in 4, contour"},
		{"fours in sixes", "2/4", notes("1/6", "C4 E4 G4 E4 C4 E4 G4 E4 C4 E4 G4 E4"), "right 3 of 4 in 6, contour"},
		{"sixes in sixes", "2/4", notes("1/6", "C4 E4 G4 C5 G4 E4 C4 E4 G4 C5 G4 E4") + " | " + notes("1/6", "C4 E4 G4 C5 G4 E4 C4 E4 G4 C5 G4 E4"), ""},
		{"twos across three", "3/4", notes("1/3", "C4 G4 C4 G4 C4 G4 C4 G4 C4"), "right 4 of 2 in 3, contour"},
		{"twos in four", "3/4", notes("1/4", "C4 G4 C4 G4 C4 G4 C4 G4 C4 G4 C4 G4"), ""},
		{"threes in three", "3/4", notes("1/3", "C4 E4 G4 C4 E4 G4 C4 E4 G4"), ""},
		{"an arpeggio without a turn", "4/4", notes("1/4", "C3 E3 G3 C4 E4 G4 C5 E5 G5 C6 E6 G6") + " C4:1", ""},
		{"a scale", "4/4", notes("1/4", "C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5") + " C4:1", ""},
		{"bass and chord over the barline", "3/4", notes("1", "C3 E4+G4 C3") + " | " + notes("1", "E4+G4 C3 E4+G4"), "right 3 of 2 in 1, contour, hemiola"},
		{"a waltz bass", "3/4", detecttest.Bars(4, notes("1", "C3 E4+G4 E4+G4")), ""},
		{"a bass up and down by turns", "3/4", notes("1", "C4 G3 C4") + " | " + notes("1", "G3 C4 G3") + " | " + notes("1", "C4 G3 C4"), ""},
		{"halves over the barline", "3/4", "C4:2 D4:1~ | D4:1 E4:2 | C4:3", "right 3 of 1 in 1/2, lengths, hemiola"},
		{"halves that are cut short", "3/4", "C4:1 r:1 D4:1 | r:1 E4:1 r:1 | C4:3", ""},
		{"halves in four", "4/4", "C4:2 D4:2 | E4:2 D4:2", ""},
		{"bars of five", "5/4", notes("1", "C3 E4+G4 C3 E4+G4 C3") + " | " + notes("1", "E4+G4 C3 E4+G4 C3 E4+G4"), ""},
	} {
		s := scoretest.Piece{Time: c.time, QPM: 60, Right: []string{c.right}}.Score(t)
		if got := regroupingsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

// A scale in sixteenths of 3/4, in which only signs make groups.
func TestGroupsReadFromSigns(t *testing.T) {
	for _, c := range []struct {
		name string
		sign func(n *score.Note, inGroup, size int)
		from string
	}{
		{"beams", func(n *score.Note, i, size int) {
			n.Heads[0].Beam = map[int]string{0: "begin", size - 1: "end"}[i]
		}, "beams"},
		{"slurs", func(n *score.Note, i, size int) {
			switch i {
			case 0:
				n.SlurStart = 1
			case size - 1:
				n.SlurEnd = 1
			}
		}, "slurs"},
		{"accents", func(n *score.Note, i, size int) {
			if i == 0 {
				n.Articulations = []string{"accent"}
			}
		}, "accents"},
	} {
		for size := 2; size <= 6; size++ {
			s := scoretest.Piece{Time: "3/4", QPM: 60, Right: []string{
				notes("1/4", "C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5") + " | " + notes("1/4", "A5 G5 F5 E5 D5 C5 B4 A4 G4 F4 E4 D4")}}.Score(t)
			for i := range s.Notes {
				c.sign(&s.Notes[i], i%size, size)
			}
			// Twos and fours fit the beat of four; sixes are one and a half beats.
			want := ""
			if against := []int{3, 5, 6}; slices.Contains(against, size) {
				want = fmt.Sprintf("right %d of %d in 4, %s", 24/size, size, c.from)
			}
			if got := regroupingsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != want {
				t.Errorf("%s of %d: found %q, want %q", c.name, size, got, want)
			}
		}
	}
}

// A group is against the metre where its cycles and the metre's part: checked
// by laying both out to where they meet.
func TestAgainstTheMetre(t *testing.T) {
	for _, c := range []struct {
		time    string
		against string // lengths in sixteenths, up to a bar, that are against it
	}{
		{"2/4", "3 5 6 7"},
		{"3/4", "3 5 6 7 8 9 10 11"},
		{"4/4", "3 5 6 7 9 10 11 12 13 14 15"},
		{"6/8", "4 5 7 8 9 10 11"},
	} {
		s := scoretest.Piece{Time: c.time, QPM: 60, Right: []string{"C4:1"}}.Score(t)
		p := &detect.Pass{Score: s}
		var got []string
		for n := int64(1); score.R(n, 4).Cmp(s.Bars[0].Time.Length) <= 0; n++ {
			if against(p, score.R(n, 4), score.Rat{}) {
				got = append(got, fmt.Sprint(n))
			}
		}
		if strings.Join(got, " ") != c.against {
			t.Errorf("%s: against it are %v sixteenths, want %s", c.time, got, c.against)
		}
	}
}
