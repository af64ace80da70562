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
	"math"
	"time"

	"github.com/jung-kurt/gofpdf"

	"hardbars/annotate/plan"
	"hardbars/annotate/remarks"
	"hardbars/detect"
)

// Options is what may be chosen about a sheet.
type Options struct {
	Paper string     // "a4" or "letter"
	Full  bool       // as many pages as it takes, nothing left out
	Plan  *plan.Plan // on pages of its own after the others; nil for none

	Remarks *remarks.Remarks // the teacher's own, at their places; nil for none
}

// frames are the papers, portrait, in millimetres.
var frames = map[string]frame{
	"a4":     {width: 210, height: 297},
	"letter": {width: 215.9, height: 279.4},
}

// Write writes the study sheet of a report as a PDF. The same report and
// options give the same bytes. It fails on a paper it does not know and when w
// does.
func Write(w io.Writer, r *detect.Report, o Options) error {
	f, ok := frames[o.Paper]
	if !ok {
		return unknownPaper(o.Paper)
	}
	c := paper{newDocument(f, r, "study sheet")}
	return output(w, c, f, r, layOut(c, f, r, o))
}

func unknownPaper(name string) error {
	return fmt.Errorf("the paper %q is not known: choose a4 or letter", name)
}

// layOut is the sheet, and after it the plan where there is one.
func layOut(c canvas, f frame, r *detect.Report, o Options) []page {
	pages := compose(c, f, r, o)
	if o.Plan != nil {
		pages = append(pages, paginate(f, topMargin, planBlocks(c, f, o.Plan, false))...)
	}
	return pages
}

// output draws the pages and writes the document.
func output(w io.Writer, c paper, f frame, r *detect.Report, pages []page) error {
	for i, p := range pages {
		c.pdf.AddPage()
		drawPage(c, f, p, r, i+1, len(pages))
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
	pdf.AddUTF8FontFromBytes("sheet", "", plainTTF)
	pdf.AddUTF8FontFromBytes("sheet", "B", boldTTF)
	return pdf
}

// limits is how much of each list is shown.
type limits struct {
	entries, advice, pictures, returns, assumed int // advice: the entries that say how
}

// compose lays the sheet out. Unless it may be full, it shows less and less of
// the lists until the pages are few enough, and then as much advice as fits.
func compose(c canvas, f frame, r *detect.Report, o Options) []page {
	if o.Full {
		const all = math.MaxInt
		return paginate(f, firstTop, blocks(c, f, r, o, limits{all, all, all, all, all}))
	}
	most := mostPages(len(r.Score.Bars))
	l := limits{entries: 12, advice: 4, pictures: 6, returns: 10, assumed: 8}
	pages := paginate(f, firstTop, blocks(c, f, r, o, l))
	for len(pages) > most && l.tighten() {
		pages = paginate(f, firstTop, blocks(c, f, r, o, l))
	}
	for l.advice < l.entries { // more advice, as far as it fits
		l.advice++
		more := paginate(f, firstTop, blocks(c, f, r, o, l))
		if len(more) > max(most, len(pages)) {
			break
		}
		pages = more
	}
	return pages
}

// mostPages is three, and one more for every 300 bars past the first 300.
func mostPages(bars int) int { return 3 + max(0, bars-1)/300 }

// tighten leaves out one thing more, first of the longest lists. It returns
// false when no less can be shown.
func (l *limits) tighten() bool {
	switch {
	case l.assumed > 4:
		l.assumed--
	case l.returns > 5:
		l.returns--
	case l.entries > 8:
		l.entries--
	case l.assumed > 1:
		l.assumed--
	case l.returns > 1:
		l.returns--
	case l.pictures > 3:
		l.pictures--
	case l.advice > 2:
		l.advice--
	case l.entries > 6:
		l.entries--
	case l.pictures > 1:
		l.pictures--
	case l.advice > 0:
		l.advice--
	case l.entries > 1:
		l.entries--
	default:
		return false
	}
	return true
}

// blocks is the sheet, from top to bottom.
func blocks(c canvas, f frame, r *detect.Report, o Options, l limits) []block {
	list := chooseList(r, o.Full, l.entries, l.advice)
	elsewhere := list.takeRemarks(r, o.Remarks)
	return []block{
		titleBlock(c, f, r),
		letterBlock(c, f, o.Remarks),
		stripBlock(c, f, r, o),
		practiseBlock(c, f, r, list),
		remarksBlock(c, f, elsewhere),
		picturesBlock(c, f, r, l.pictures),
		returnsBlock(c, f, r, o.Full, l.returns),
		assumedBlock(c, f, r, o.Full, l.assumed),
		cautionBlock(c, f),
	}
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
	parts := []part{text(wrap(c, title(r), titleFace, f.inner(), 3), titleFace, 0)}
	if r.Score.Composer != "" {
		parts = append(parts, text(wrap(c, r.Score.Composer, composerFace, f.inner(), 3), composerFace, 0))
	}
	parts = append(parts, gap(2))
	for _, line := range madeFor(r) {
		parts = append(parts, labelled(c, f, line[0], line[1]))
	}
	return block{parts: []part{stack(parts...)}}
}

func gap(height float64) part { return part{height, func(canvas, float64, float64) {}} }

// labelled is a bold word with text beside it.
func labelled(c canvas, f frame, name, words string) part {
	const column = 17.0
	p := paragraph(c, words, bodyFace, column, f.inner()-column)
	return part{p.height, func(c canvas, x, y float64) {
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
