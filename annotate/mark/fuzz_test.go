package mark

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

// FuzzMark reads whatever can be read, marks it, and asks that the marks go
// again without a trace, and that marking again changes nothing.
func FuzzMark(f *testing.F) {
	f.Add([]byte(onePart("3.1")))
	f.Add([]byte(onNote("4.0", plainNote)))
	f.Add([]byte(onNote("1.0", `<?hardbars words a?><?hardbars color #0 was?><direction/>`+plainNote)))
	f.Add([]byte(inBars("2.0", lineEnd("bracket", "start", `number="6"`)+note("a", "1", "<grace/>")+plainNote, plainNote)))
	for _, path := range library.Own(f, ".musicxml") {
		if !strings.HasPrefix(filepath.Base(path), "untidy-") {
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := musicxml.Read(bytes.NewReader(data), "fuzz")
		if err != nil {
			return
		}
		Unmark(file) // the input may hold announcements of its own
		before := write(t, file)
		for _, r := range reports(file) {
			if err := Mark(file, r, all); err != nil {
				t.Fatal(err)
			}
			marked := write(t, file)
			again, err := musicxml.Read(bytes.NewReader([]byte(marked)), "marked")
			if err != nil {
				t.Fatalf("the marked score cannot be read: %v", err)
			}
			if err := Mark(again, r, all); err != nil {
				t.Fatal(err)
			}
			same(t, "marked twice", write(t, again), marked)
			Unmark(again)
			same(t, "stored and unmarked", write(t, again), before)
			Unmark(file)
			same(t, "unmarked", write(t, file), before)
		}
	})
}

// reports are what the detectors find, where there is a piano to read, and
// findings everywhere.
func reports(f *musicxml.File) []*detect.Report {
	found := []*detect.Report{crowd(f, 2)}
	if s, err := f.Score(musicxml.Options{}); err == nil {
		found = append(found, detect.Analyze(s, detect.DefaultPlayer(), kinds.All))
	}
	return found
}
