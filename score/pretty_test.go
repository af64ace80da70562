package score

import "testing"

func TestRatPretty(t *testing.T) {
	for a, want := range map[Rat]string{
		Int(0): "0", Int(3): "3", R(5, 2): "2½", R(1, 3): "⅓", R(11, 6): "1 5/6", R(3, 7): "3/7", R(-5, 2): "−2½", R(-1, 5): "−1/5",
	} {
		if got := a.Pretty(); got != want {
			t.Errorf("%v: got %q, want %q", a, got, want)
		}
	}
}
