package web

import "testing"

// Two days at half and at all of the tempo to reach: worked by hand, half is
// 40 above the ground of 100, all of it 80. A day without a tempo has no point.
func TestCurve(t *testing.T) {
	days := []dayView{{Date: "1 May", Share: 0.5}, {Date: "2 May"}, {Date: "3 May", Share: 1}}
	got := curve("Bar 9", days)
	if got == nil {
		t.Fatal("no curve for two days with a tempo")
	}
	if want := "0.0,60.0 100.0,20.0"; got.Points != want {
		t.Errorf("points %q, want %q", got.Points, want)
	}
	if want := "Bar 9: from 50 % of the tempo to reach on 1 May to 100 % on 3 May."; got.Sentence != want {
		t.Errorf("sentence %q, want %q", got.Sentence, want)
	}
	if curve("Bar 9", days[:2]) != nil {
		t.Error("a curve for one day with a tempo")
	}
}
