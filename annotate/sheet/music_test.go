package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hardbars/annotate/engrave"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
)

// studied reads one of the project's own scores as study does.
func studied(t *testing.T, name string, o Options) (*detect.Report, Options) {
	t.Helper()
	f, err := musicxml.Open(filepath.Join("../../testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if o.Music, err = f.Notation(musicxml.Options{}); err != nil {
		t.Fatal(err)
	}
	return detect.Analyze(s, detect.DefaultPlayer(), kinds.All).WithoutQuiet(), o
}

// TestSheetWithMusic: with their bars as music all blocks stay within the
// margins, on a few pages.
func TestSheetWithMusic(t *testing.T) {
	for _, name := range []string{"lantern-barcarolle.musicxml", "weathercock-study.musicxml", "meadow-minuet.musicxml", "untidy-three-staves.musicxml"} {
		for _, paper := range []string{"a4", "letter"} {
			for _, full := range []bool{false, true} {
				t.Run(fmt.Sprintf("%s/%s/full=%v", name, paper, full), func(t *testing.T) {
					r, o := studied(t, name, Options{Paper: paper, Full: full})
					pages := drawn(r, o)
					checkLayout(t, frames[paper], pages)
					if len(pages) > 8 {
						t.Errorf("%d pages", len(pages))
					}
				})
			}
		}
	}
}

// Bars are set side by side, and still the bytes are the same; and each place
// with a block is in the outline, its words as PDF writes them, in UTF-16.
func TestSameBytesWithMusic(t *testing.T) {
	r, o := studied(t, "lantern-barcarolle.musicxml", a4)
	var first, second bytes.Buffer
	if err := errors.Join(Write(&first, r, o), Write(&second, r, o)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same report gives different bytes")
	}
	if !bytes.Contains(first.Bytes(), []byte("/Type /Outlines")) || !bytes.Contains(first.Bytes(), []byte("\x00B\x00a\x00r\x00s")) {
		t.Error("there is no outline")
	}
}

// What the music leaves out or cuts off is said once below it.
func TestMusicSaysWhatIsMissing(t *testing.T) {
	gone := engrave.Warning{Bar: "7", Text: "a chord diagram is left out"}
	m := music{drawings: []*engrave.Drawing{{Warnings: []engrave.Warning{gone, gone}}}, cut: "It goes on after bar 8."}
	notes := m.notes()
	if len(notes) != 2 || notes[0] != m.cut || !strings.HasPrefix(notes[1], "Bar 7: a chord diagram is left out") {
		t.Errorf("got %q", notes)
	}
	c, f := sheetOfPaper(), frames["a4"]
	block := spotBlock(c, f, entry{number: "1", place: "Bar 7", ladder: thrice}, m)
	var words []string
	rec := &recorder{paper: c.(paper)}
	rec.pdf.AddPage()
	for _, p := range block.parts {
		p.draw(rec, margin, 20)
	}
	for _, m := range rec.marks {
		words = append(words, m.words)
	}
	for _, want := range notes {
		if !slices.Contains(words, want) {
			t.Errorf("%q is not in the block: %q", want, words)
		}
	}
}

// A place whose bars cannot be set keeps its block, which says so.
func TestMusicThatCannotBeSet(t *testing.T) {
	r, o := studied(t, "lantern-barcarolle.musicxml", a4)
	for i := range o.Music.Chords {
		c := &o.Music.Chords[i]
		c.Staff = 7 // there is no such staff
		for k := range c.Notes {
			c.Notes[k].Staff = 7
		}
	}
	said := 0
	for _, page := range drawn(r, o) {
		for _, m := range page {
			if strings.Contains(m.words, "could not be set as music") {
				said++
			}
		}
	}
	if said == 0 {
		t.Error("the sheet does not say that its bars could not be set")
	}
}

// Nothing beside the music that has to be read is under nine points.
func TestFacesAreLarge(t *testing.T) {
	for _, f := range []face{titleFace, composerFace, headingFace, strongFace, tempoFace, bodyFace, noteFace, testFace, smallFace, numberFace} {
		if f.size < 9 {
			t.Errorf("a face of %g points", f.size)
		}
	}
}
