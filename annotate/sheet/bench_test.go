package sheet

import (
	"io"
	"testing"
)

func BenchmarkWrite(b *testing.B) {
	r := usual()
	for b.Loop() {
		if err := Write(io.Discard, r, a4); err != nil {
			b.Fatal(err)
		}
	}
}
