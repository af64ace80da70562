package progress

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"time"

	"hardbars/score"
)

func day(text string) time.Time {
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return d
}

var print1 = Print{Bars: 4, Notes: 31, Exact: "0a1b2c3d", Shape: "4e5f6071", Sketch: 0x0123456789abcdef, Nth: 1, Of: 2}

const print1Text = "[4 31 0a1b2c3d 4e5f6071 0123456789abcdef 1/2]"

func TestParse(t *testing.T) {
	for _, c := range []struct {
		line string
		want Entry
	}{
		{"2026-03-02 | 3 | 12–15 | left | leap | quarter = 52 | 10 min | lighter " + print1Text,
			Entry{Date: day("2026-03-02"), Spot: "3", Bars: "12–15", Hand: score.Left, Kind: "leap", Tempo: "quarter = 52", Minutes: 10, Note: "lighter", Print: print1}},
		{"2026-03-02|3|12-15|both|cross-rhythm|dotted quarter=40|5|a | b",
			Entry{Date: day("2026-03-02"), Spot: "3", Bars: "12-15", Hand: score.Both, Kind: "cross-rhythm", Tempo: "dotted quarter=40", Minutes: 5, Note: "a | b"}},
		{"  2026-03-02 | | X1 | right | fast-run | | |\r",
			Entry{Date: day("2026-03-02"), Bars: "X1", Hand: score.Right, Kind: "fast-run"}},
		{"2026-03-02 | 1 | 7 | right | fast-run | 66 | 3 min",
			Entry{Date: day("2026-03-02"), Spot: "1", Bars: "7", Hand: score.Right, Kind: "fast-run", Tempo: "66", Minutes: 3}},
		{"2026-03-02 | 1 | 7 | right | fast-run | | | " + print1Text,
			Entry{Date: day("2026-03-02"), Spot: "1", Bars: "7", Hand: score.Right, Kind: "fast-run", Print: print1}},
		{"2026-03-02 | 1 | 7 | right | fast-run | | | see [4 bars]",
			Entry{Date: day("2026-03-02"), Spot: "1", Bars: "7", Hand: score.Right, Kind: "fast-run", Note: "see [4 bars]"}},
	} {
		log := Parse([]byte(c.line))
		if len(log.Entries) != 1 || len(log.Damaged) != 0 {
			t.Errorf("%q: %d entries, damaged %v", c.line, len(log.Entries), log.Damaged)
			continue
		}
		c.want.Line = 1
		if got := log.Entries[0]; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q:\n got %+v\nwant %+v", c.line, got, c.want)
		}
	}
}

func TestDamagedLinesAreNamed(t *testing.T) {
	const good = "2026-03-02 | 1 | 7 | right | leap | 52 | 3 min | fine"
	for _, c := range []struct{ line, want string }{
		{"practised a bit", "expected date | place"},
		{"2026-13-02 | 1 | 7 | right | leap | 52 | 3 min |", `the date "2026-13-02"`},
		{"2026-03-02 | 1 |  | right | leap | 52 | 3 min |", "the bars are missing"},
		{"2026-03-02 | 1 | 7 | rihgt | leap | 52 | 3 min |", `the hand "rihgt"`},
		{"2026-03-02 | 1 | 7 | right | leep | 52 | 3 min |", `no kind "leep"`},
		{"2026-03-02 | 1 | 7 | right | leap | fast | 3 min |", `tempo "fast"`},
		{"2026-03-02 | 1 | 7 | right | leap | 80% | 3 min |", `the tempo "80%"`},
		{"2026-03-02 | 1 | 7 | right | leap | 52 | 3 hours |", `the minutes "3 hours"`},
		{"2026-03-02 | 1 | 7 | right | leap | 52 | -3 |", `the minutes "-3"`},
	} {
		log := Parse([]byte("\ufeff# mine\n\n" + good + "\r\n" + c.line + "\n" + good))
		if len(log.Entries) != 2 || log.Entries[0].Line != 3 || log.Entries[1].Line != 5 {
			t.Errorf("%q: the good lines were not kept: %+v", c.line, log.Entries)
		}
		if len(log.Damaged) != 1 || log.Damaged[0].Line != 4 || !strings.Contains(log.Damaged[0].String(), c.want) {
			t.Errorf("%q: damaged %v, want line 4 with %s", c.line, log.Damaged, c.want)
		}
	}
}

// Whatever a log holds stays where it is, byte for byte.
func TestAppendKeepsWhatIsThere(t *testing.T) {
	e := Entry{Date: day("2026-03-02"), Spot: "3", Bars: "12", Kind: "leap", Note: "two\nlines\tand # more", Print: print1}
	for _, before := range []string{
		"", "\n", "# mine", "no end", "\ufeff# mine\r\nbad line\r\n", "\xff\xfe\x00 not text", "a\n\n\n",
	} {
		after := Append([]byte(before), "Lantern\nÉtude", &e)
		if !bytes.HasPrefix(after, []byte(before)) {
			t.Errorf("%q was changed: %q", before, after)
		}
		if n := len(Parse(after).Entries) - len(Parse([]byte(before)).Entries); n != 1 {
			t.Errorf("%q: %d entries more, want 1", before, n)
		}
		if strings.Contains(before, "\r\n") != bytes.HasSuffix(after, []byte("\r\n")) {
			t.Errorf("%q: the line ends are not those of the file: %q", before, after)
		}
	}
	if head := string(Append(nil, "Lantern\nÉtude", &e)); !strings.HasPrefix(head, "# Practice of Lantern Étude\n") {
		t.Errorf("a new log begins %q", head)
	}
}

func FuzzLog(f *testing.F) {
	f.Add("2026-03-02 | 3 | 12–15 | left | leap | quarter = 52 | 10 min | lighter " + print1Text)
	f.Add("# mine\r\n2026-03-02|3|1|both|cross-rhythm|dotted quarter=40|5|a | b\nbad")
	f.Add("\ufeff2026-03-02 | 1 | 7 | right | fast-run | | |" + print1Text + " " + print1Text)
	f.Fuzz(func(t *testing.T, text string) {
		log := Parse([]byte(text))
		for _, e := range log.Entries {
			again := Parse([]byte(e.String()))
			if len(again.Entries) != 1 {
				t.Fatalf("%q is not read back: %v", e.String(), again.Damaged)
			}
			back := again.Entries[0]
			back.Line = e.Line
			if !reflect.DeepEqual(back, e) {
				t.Fatalf("written %+v\nread    %+v", e, back)
			}
		}
		e := Entry{Date: day("2026-03-02"), Spot: "1", Bars: "7", Kind: "leap", Note: text}
		after := Append([]byte(text), text, &e)
		if !strings.HasPrefix(string(after), text) {
			t.Fatal("what was there has changed")
		}
		more := Parse(after)
		if text != "" && len(more.Entries) != len(log.Entries)+1 {
			t.Fatalf("%d entries after %d", len(more.Entries), len(log.Entries))
		}
		if len(more.Damaged) != len(log.Damaged) {
			t.Fatalf("%d damaged lines after %d", len(more.Damaged), len(log.Damaged))
		}
	})
}
