// Package pages sets a whole piece as pages for the music stand: lines and pages
// broken where they fill best, turns where a hand is free, and the passages to
// learn marked as a teacher marks them with a pencil.
//
// It knows paper and what lies on it. It refuses to know how music is set, what
// is hard and why: the first is the engraver's, the second the report's.
package pages

import (
	"fmt"
	"io"
	"time"

	"github.com/jung-kurt/gofpdf"

	"hardbars/annotate/engrave"
	"hardbars/detect"
	"hardbars/score/notation"
)

// Options is what may be chosen about the pages.
type Options struct {
	Paper string // "a4" or "letter"
	Plain bool   // the piece alone, without marks

	// Page is the page of the study sheet on which a passage stands, by its
	// Order; 0 for none. Nil without a sheet.
	Page func(order int) int
}

// sheet is a paper, portrait, in millimetres.
type sheet struct{ width, height float64 }

var papers = map[string]sheet{
	"a4":     {210, 297},
	"letter": {215.9, 279.4},
}

// Lengths of a page in millimetres. Common practice; the lower margin holds the
// page's number.
const (
	margin     = 13.0
	footMargin = 16.0
	footLine   = 9.0 // of the page number's baseline, from the lower edge
)

func (s sheet) inner() float64 { return s.width - 2*margin }
func (s sheet) room() float64  { return s.height - margin - footMargin }

// Write writes the pages of a piece as a PDF: what is written, and the report on
// it. The same input gives the same bytes. It fails on a paper it does not know
// and when w does; bars that cannot be set are left out, which the page says.
func Write(w io.Writer, n *notation.Score, r *detect.Report, o Options) error {
	paper, ok := papers[o.Paper]
	if !ok {
		return fmt.Errorf("the paper %q is not known: choose a4 or letter", o.Paper)
	}
	pdf := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: paper.width, Ht: paper.height}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(time.Unix(0, 0).UTC()) // so that the bytes depend on what is in it alone
	pdf.SetModificationDate(time.Unix(0, 0).UTC())
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetTitle(title(r), true)
	pdf.SetAuthor(r.Score.Composer, true)
	pdf.SetCreator("hardbars", true)
	all := lay(n, r, paper, o)
	for i, p := range all {
		pdf.AddPage()
		c := engrave.PDF(pdf)
		for _, b := range p {
			b.draw(c, margin, b.y)
		}
		foot(c, paper, title(r), i+1, len(all))
	}
	if err := pdf.Output(w); err != nil {
		return fmt.Errorf("could not write the PDF: %w", err)
	}
	return nil
}

// The distance between two lines of a staff in millimetres: a staff of 6 mm is
// read well from the stand (common practice). It is a little less where that
// saves a last page that is nearly empty, and as little as it takes where a
// system would be higher than a page.
const (
	staffSpace  = 1.5
	closerSpace = 1.38
	leastSpace  = 0.8
	smaller     = 0.85
	nearlyEmpty = 0.45 // of a page
)

// lay lays a piece out in pages.
func lay(n *notation.Score, r *detect.Report, paper sheet, o Options) [][]block {
	all, fits := laid(n, r, paper, o, staffSpace)
	last := all[len(all)-1]
	if end := last[len(last)-1]; fits && len(all) > 1 && end.y+end.height < margin+nearlyEmpty*paper.room() {
		if closer, fits := laid(n, r, paper, o, closerSpace); fits && len(closer) < len(all) {
			return closer
		}
	}
	for space := staffSpace * smaller; !fits && space > leastSpace; space *= smaller {
		all, fits = laid(n, r, paper, o, space)
	}
	return all
}

// laid lays a piece out with staves of a size, and reports whether every system
// is within its page.
func laid(n *notation.Score, r *detect.Report, paper sheet, o Options, space float64) (all [][]block, fits bool) {
	head := heading(r, paper.inner(), o.Plain)
	blocks := set(n, r, paper.inner(), space, o)
	all = fill(head, blocks, paper.room(), func(b block) float64 { return freeHand(r.Score, b.to) })
	for _, page := range all {
		if end := page[len(page)-1]; end.y+end.height > margin+paper.room()+1e-6 {
			return all, false
		}
	}
	return all, true
}

// title is the piece's, or a stand-in.
func title(r *detect.Report) string {
	if r.Score.Title == "" {
		return "Untitled piece"
	}
	return r.Score.Title
}
