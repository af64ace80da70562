package engrave

import "testing"

// Four bars must take less than 5 ms on an ordinary machine.
func BenchmarkFourBars(b *testing.B) {
	n := readNotation(b, "../../testdata/lantern-barcarolle.musicxml")
	o := Options{From: n.Bars[1].Start, To: n.Bars[4].End(), Width: 180}
	for b.Loop() {
		set(n, o)
	}
}

// A whole piece at once.
func BenchmarkWholePiece(b *testing.B) {
	n := readNotation(b, "../../testdata/lantern-barcarolle.musicxml")
	o := Options{From: n.Bars[0].Start, To: n.Bars[len(n.Bars)-1].End(), Width: 180}
	for b.Loop() {
		set(n, o)
	}
}
