// Package sheet writes the study sheet: a PDF for the music stand that says
// which bars of a piece to practise first, why, and how fast.
//
// It knows paper, type and the forms of pictures that a report may ask for,
// and lays the report out in blocks, one idea each, black on white. It decides
// nothing about the music: every number on the sheet is the report's. It does
// not know kinds of hard places by name, files or the command line.
package sheet

import (
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/jung-kurt/gofpdf"

	"hardbars/annotate/excerpt"
	"hardbars/annotate/plan"
	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/score/notation"
)

// Options is what may be chosen about a sheet.
type Options struct {
	Paper    string            // "a4" or "letter"
	Sections []Section         // what is on it; nil for all
	Full     bool              // with a table of the passages off the shortlist
	Plan     *plan.Plan        // nil for none
	Fingers  excerpt.Suggested // which suggested fingers the music shows
	Verdict  string            // what to say of the piece as a whole; "" for how much the shortlist teaches

	Music   *notation.Score  // what is written, to set the bars as music; nil for blocks without
	Remarks *remarks.Remarks // the teacher's own, at their places; nil for none
}

// frames are the papers, portrait, in millimetres.
var frames = map[string]frame{
	"a4":     {width: 210, height: 297},
	"letter": {width: 215.9, height: 279.4},
}

// Sheet is a study sheet laid out in pages, to be written once.
type Sheet struct {
	c     paper
	f     frame
	r     *detect.Report
	pages []page
}

// Compose lays out the study sheet of a report. It fails on a paper that it does
// not know.
func Compose(r *detect.Report, o Options) (*Sheet, error) {
	f, ok := frames[o.Paper]
	if !ok {
		return nil, unknownPaper(o.Paper)
	}
	c := paper{newDocument(f, r, "study sheet")}
	return &Sheet{c, f, r, newComposer(c, f, r, o).pages()}, nil
}

// Page is the page with the bars of a passage of the shortlist, by its Order, or
// where the sheet has no more of it the first page; 0 where it is not on the
// sheet.
func (s *Sheet) Page(order int) int {
	number, found := fmt.Sprint(order), 0
	for i, p := range s.pages {
		if slices.ContainsFunc(p, func(part placed) bool { return part.spot == number }) {
			found = i + 1
		}
	}
	return found
}

// Write writes the sheet as a PDF.
func (s *Sheet) Write(w io.Writer) error { return output(w, s.c, s.f, s.r, s.pages) }

// Write writes the study sheet of a report as a PDF. The same report and
// options give the same bytes. It fails on a paper it does not know and when w
// does.
func Write(w io.Writer, r *detect.Report, o Options) error {
	s, err := Compose(r, o)
	if err != nil {
		return err
	}
	return s.Write(w)
}

func unknownPaper(name string) error {
	return fmt.Errorf("the paper %q is not known: choose a4 or letter", name)
}

// output draws the pages and writes the document.
func output(w io.Writer, c paper, f frame, r *detect.Report, pages []page) error {
	for i, p := range pages {
		c.pdf.AddPage()
		drawPage(c, f, p, r, i+1, len(pages))
		for _, part := range p {
			if part.outline.words != "" {
				c.pdf.Bookmark(forReaders(part.outline.words), part.outline.level, part.y)
			}
		}
	}
	if err := c.pdf.Output(w); err != nil {
		return fmt.Errorf("could not write the PDF: %w", err)
	}
	return nil
}

// newDocument has a fixed date, so that the bytes depend on what is in it alone.
func newDocument(f frame, r *detect.Report, name string) *gofpdf.Fpdf {
	pdf := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: f.width, Ht: f.height}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(time.Unix(0, 0).UTC())
	pdf.SetModificationDate(time.Unix(0, 0).UTC())
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetTitle(forReaders(title(r)+": "+name), true)
	pdf.SetAuthor(forReaders(r.Score.Composer), true)
	pdf.SetCreator("hardbars", true)
	addFonts(pdf)
	return pdf
}

// addFonts names the two faces of the sheet.
func addFonts(pdf *gofpdf.Fpdf) {
	pdf.AddUTF8FontFromBytes("sheet", "", slices.Clone(plainTTF)) // the library writes into a font as it reads it
	pdf.AddUTF8FontFromBytes("sheet", "B", slices.Clone(boldTTF))
}

// title is the piece's, or a stand-in.
func title(r *detect.Report) string {
	if r.Score.Title == "" {
		return "Untitled piece"
	}
	return r.Score.Title
}

// titleBlock has title, composer, and whom and what tempo the sheet is for.
func titleBlock(c canvas, f frame, r *detect.Report) block {
	var parts []part
	if room := f.inner() - c.width(title(r), titleFace) - 6; room > c.width(r.Score.Composer, composerFace) {
		composer := r.Score.Composer
		parts = append(parts, part{height: titleFace.leading(), draw: func(c canvas, x, y float64) {
			c.text(x, y+titleFace.mm(), title(r), titleFace)
			flushRight(c, x+f.inner(), y+titleFace.mm(), composer, composerFace)
		}})
	} else {
		parts = append(parts, text(wrap(c, title(r), titleFace, f.inner(), 3), titleFace, 0))
		if r.Score.Composer != "" {
			parts = append(parts, text(wrap(c, r.Score.Composer, composerFace, f.inner(), 3), composerFace, 0))
		}
	}
	parts = append(parts, gap(0.8), paragraph(c, madeForWords(r), smallFace, 0, f.inner()))
	return block{parts: []part{stack(parts...)}}
}

func gap(height float64) part { return part{height: height, draw: func(canvas, float64, float64) {}} }

// labelled is a bold word with text beside it.
func labelled(c canvas, f frame, name, words string) part {
	const column = 17.0
	p := paragraph(c, words, bodyFace, column, f.inner()-column)
	return part{height: p.height, draw: func(c canvas, x, y float64) {
		c.text(x, y+bodyFace.mm(), name, face{bold: true, size: bodyFace.size})
		p.draw(c, x, y)
	}}
}

// drawPage draws the parts between a running title and the page's number.
func drawPage(c canvas, f frame, p page, r *detect.Report, number, of int) {
	for _, part := range p {
		part.draw(c, margin, part.y)
	}
	if number > 1 {
		c.text(margin, 12, clip(c, title(r), smallFace, f.inner()/2), smallFace)
		flushRight(c, f.width-margin, 12, clip(c, r.Score.Composer, smallFace, f.inner()/2-5), smallFace)
		c.line(margin, 14, f.width-margin, 14, hairline)
	}
	centred(c, f.width/2, f.height-9, fmt.Sprintf("%d of %d", number, of), smallFace)
}
