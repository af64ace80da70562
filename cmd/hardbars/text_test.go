package main

import (
	"bytes"
	"testing"
)

func TestPrintTable(t *testing.T) {
	var b bytes.Buffer
	printTable(&b, [][]string{{"#", "bars", "again"}, {"10", "12–15", ""}, {"1", "♩", "2 again"}})
	want := "#   bars   again\n10  12–15\n1   ♩      2 again\n"
	if b.String() != want {
		t.Errorf("got\n%swant\n%s", b.String(), want)
	}
}

func TestShort(t *testing.T) {
	for _, c := range [][2]string{{"leap to B♭1", "leap to B♭1"}, {"leaves broken chord", "leaves brok…"}, {"4 over 3 and, more", "4 over 3 an…"}, {"4 over 333, more", "4 over 333…"}} {
		if got := short(c[0], 12); got != c[1] {
			t.Errorf("%q became %q, want %q", c[0], got, c[1])
		}
	}
}
