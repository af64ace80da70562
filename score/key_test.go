package score

import "testing"

// The signatures of the keys, from memory of the circle of fifths.
func TestKeyAlter(t *testing.T) {
	for _, c := range []struct {
		fifths int
		want   string // of C to B
	}{
		{0, "0000000"}, {1, "000+000"}, {2, "+00+000"}, {4, "++0++00"}, {7, "+++++++"},
		{-1, "000000-"}, {-3, "00-00--"}, {-7, "-------"},
	} {
		got := ""
		for _, step := range []byte("CDEFGAB") {
			got += map[int]string{-1: "-", 0: "0", 1: "+"}[Key{Fifths: c.fifths}.Alter(step)]
		}
		if got != c.want {
			t.Errorf("%d fifths: %s, want %s", c.fifths, got, c.want)
		}
	}
}

func TestPitchAt(t *testing.T) {
	for staff := -10; staff < 80; staff++ {
		for _, alter := range []int{-1, 0, 2} {
			if p := PitchAt(staff, alter); p.Staff() != staff || p.Alter != alter {
				t.Errorf("at %d: %s, which is at %d", staff, p, p.Staff())
			}
		}
	}
	if p := PitchAt(28, 0); p != (Pitch{'C', 0, 4}) {
		t.Errorf("middle C: %s", p)
	}
}
