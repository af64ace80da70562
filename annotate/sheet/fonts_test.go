package sheet

import "testing"

// DejaVu's own table of what it covers, unicover.txt of release 2.37, gives
// every sign of Latin Extended-A, 128 of 128, for Sans and its cuts (from
// memory).
func TestLatinExtendedA(t *testing.T) {
	for r := rune(0x100); r <= 0x17F; r++ {
		if !hasSign(r) {
			t.Errorf("%c (U+%04X) is missing", r, r)
		}
	}
}

func TestHasSign(t *testing.T) {
	for _, r := range "Aé♭♮♯♩♪→–“”…×½⅔ЖяΩά" {
		if !hasSign(r) {
			t.Errorf("%c (U+%04X) is missing", r, r)
		}
	}
	for _, r := range "月の한אש𝄞\uFFFF\uE000" {
		if hasSign(r) {
			t.Errorf("%c (U+%04X) is said to be there", r, r)
		}
	}
}

func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"Etude":         "Etude",
		"E\u0301tude":   "Étude", // a combining accent is composed
		"月の光 in D♭":     "??? in D♭",
		"broken\xffcut": "broken?cut",
		"𝄞":             "?",
	} {
		if got := printable(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
		if lacksSigns(in) != (want != "Etude" && want != "Étude") {
			t.Errorf("%q: lacksSigns is %v", in, lacksSigns(in))
		}
	}
}

func TestForReaders(t *testing.T) {
	if got, want := forReaders("月の光 𝄞 \xf0"), "月の光 ? ?"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
