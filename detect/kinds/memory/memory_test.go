package memory

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score/scoretest"
)

// tune is bars of 4/4 by letters: each letter a bar of its own, a capital the
// same bar a fifth higher.
func tune(bars string) string {
	keys := map[rune]string{
		'a': "C4:1 E4:1 G4:2", 'b': "F4:2 D4:1 B3:1", 'c': "E4:1 D4:1 C4:2", 'd': "D4:4", 'e': "G4:1 A4:1 B4:2",
		'A': "G4:1 B4:1 D5:2", 'B': "C5:2 A4:1 F#4:1", '-': "r:4",
	}
	var all []string
	for _, b := range bars {
		all = append(all, keys[b])
	}
	return strings.Join(all, " | ")
}

func TestTurns(t *testing.T) {
	for _, c := range []struct{ name, bars, want string }{
		{"another way home", "abcdabed", "5–6 like 1–2, 7 not 3"},
		{"the same way home", "abcdabcd", ""},
		{"a strain played twice", "abcdabcde", ""},
		{"a fifth higher", "abcdABed", "5–6 like 1–2, 7 not 3"},
		{"one bar alike", "abcdaecd", ""},
		{"one bar again and again", "aacdaaed", ""},
		{"a rest shows it", "abcdab-d", ""},
		{"the same two ways again", "abcdabedabcdabed", "5–6 like 1–2, 7 not 3"},
		{"three ways", "abcdabedabdd", "5–6 like 1–2, 7 not 3; 8–10 like 4–6, 11 not 7"},
	} {
		s := scoretest.Piece{QPM: 90, Right: []string{tune(c.bars)}}.Score(t)
		if got := turnsIn(Detector.Find(s, detect.DefaultPlayer())); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

func turnsIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s like %s, %s not %s", d.Alike, d.Before, d.Turn.Bar, d.OtherTurn.Bar))
	}
	return strings.Join(all, "; ")
}

// What the page shows is no trap: signs are put over the bar that differs.
func TestShownTurns(t *testing.T) {
	s := scoretest.Piece{QPM: 90, Right: []string{tune("abcdabed")}}.Score(t)
	s.Bars[6].Ending = "2"
	if got := turnsIn(Detector.Find(s, detect.DefaultPlayer())); got != "" {
		t.Errorf("found %q where an ending's bracket shows it", got)
	}
	s.Bars[6].Ending, s.Bars[5].RepeatEnd = "", 2
	if got := turnsIn(Detector.Find(s, detect.DefaultPlayer())); got != "" {
		t.Errorf("found %q behind a repeat sign", got)
	}
}

// The longer two places are alike, the more is asked, and never more than 1.
func TestDemandGrowsWithLikeness(t *testing.T) {
	last := 0.0
	for _, bars := range []string{"abcd" + "abed", "abecd" + "abedd", "abeacbd" + "abeacdd"} {
		s := scoretest.Piece{QPM: 90, Right: []string{tune(bars)}}.Score(t)
		found := Detector.Find(s, detect.DefaultPlayer())
		if len(found) != 1 || found[0].Demand <= last || found[0].Demand > 1 {
			t.Errorf("%s: found %s, not one place with more than %g", bars, turnsIn(found), last)
			continue
		}
		last = found[0].Demand
	}
}
