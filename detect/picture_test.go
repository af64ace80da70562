package detect

import (
	"testing"
)

// The way of a hand goes between the lowest keys, or between the highest ones
// where it is measured at the top.
func TestTravel(t *testing.T) {
	m := KeyMove{From: []int{48, 60}, To: []int{40, 52, 64}}
	if from, to := m.Travel(); from != 48 || to != 40 {
		t.Errorf("at the bottom: from %d to %d, want 48 to 40", from, to)
	}
	m.Top = true
	if from, to := m.Travel(); from != 60 || to != 64 {
		t.Errorf("at the top: from %d to %d, want 60 to 64", from, to)
	}
}
