package excerpt

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"hardbars/annotate/engrave"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

// galleryWidth is that of the music on a study sheet, in millimetres.
const galleryWidth = 174

// picture is one entry of the gallery's list.
type picture struct {
	File        string // the SVG, in the folder
	Score       string // file name of the score
	First, Last int    // bars, counted from 1
	Title       string
}

// HARDBARS_GALLERY names a folder: the hardest place of every hot spot of every
// score is put there as SVG, with a list of them, for .ci/gallery.py to lay
// beside another engraver's. Each note that is picked out must be in its
// picture.
func TestGallery(t *testing.T) {
	folder := os.Getenv("HARDBARS_GALLERY")
	if folder == "" {
		folder = t.TempDir()
	}
	var list []picture
	for _, path := range append(library.Own(t), library.Shared(t)...) {
		list = append(list, pictures(t, path, folder)...)
	}
	if len(list) == 0 {
		t.Fatal("no hot spot in any score")
	}
	data, err := json.MarshalIndent(list, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "list.json"), data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// pictures sets the hot spots of one score.
func pictures(t *testing.T, path, folder string) (list []picture) {
	t.Helper()
	f, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	n, err := f.Notation(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	for i := range r.Spots {
		e := Hardest(r, &r.Spots[i])
		o := e.Options()
		o.Width = galleryWidth
		d, err := engrave.Set(n, o)
		if err != nil {
			t.Fatal(err)
		}
		p := picture{
			File: fmt.Sprintf("%s-%03d.svg", filepath.Base(path), i+1), Score: filepath.Base(path),
			First: s.Bars[e.First].Index, Last: s.Bars[e.Last].Index, Title: fmt.Sprintf("%s, bar %s", r.Spots[i].Kind, s.Bars[e.First].Number),
		}
		checkHeads(t, p, d, o.Picks.Notes)
		var b bytes.Buffer
		if err := d.SVG(&b, engrave.SVGOptions{Title: p.Title}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, p.File), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		list = append(list, p)
	}
	return list
}

// checkHeads: every note that is picked out is drawn.
func checkHeads(t *testing.T, p picture, d *engrave.Drawing, notes []int) {
	t.Helper()
	drawn := map[int]bool{}
	for _, it := range d.Items {
		if it.Role == engrave.RoleHead {
			drawn[it.Note] = true
		}
	}
	for _, id := range notes {
		if !drawn[id] {
			t.Errorf("%s, %s: note %d is picked out and not drawn", p.Score, p.Title, id)
		}
	}
}
