// Proof sets excerpts of scores, reads them back, and counts the ink in them that
// lies on other ink: every hot spot as the study sheet shows it, or with -bars
// all bars, so many at a time.
//
//	go run ./.ci/proof [-bars N] [-most N] [-pictures FILE.pdf] SCORE…
//
// It fails where a drawing says what the score does not, and where more than so
// many excerpts in a hundred have a collision.
package main

import (
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"

	"github.com/jung-kurt/gofpdf"

	"hardbars/annotate/engrave"
	"hardbars/annotate/engrave/proof"
	"hardbars/annotate/excerpt"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
)

const (
	width = 180  // of an excerpt, in millimetres
	space = 1.75 // of its staves
)

func main() {
	log.SetFlags(0)
	bars := flag.Int("bars", 0, "set all bars, so many at a time, and no hot spots")
	most := flag.Float64("most", 1, "collisions in a hundred excerpts that are let pass")
	pictures := flag.String("pictures", "", "PDF to draw the excerpts into that have collisions")
	all := flag.Bool("all", false, "draw those without too")
	flag.Parse()
	p := proofs{all: *all}
	if *pictures != "" {
		p.pdf = gofpdf.New("P", "mm", "A4", "")
	}
	for _, path := range flag.Args() {
		if err := p.score(path, *bars); err != nil {
			log.Fatal(err)
		}
	}
	if p.pdf != nil {
		if err := p.pdf.OutputFileAndClose(*pictures); err != nil {
			log.Fatal(err)
		}
	}
	rate := 100 * float64(p.bad) / float64(max(p.excerpts, 1))
	fmt.Printf("%d excerpts, %d of them with %d collisions: %.2f in a hundred\n", p.excerpts, p.bad, p.collisions, rate)
	fmt.Printf("%d differences between what is drawn and what is written\n", p.misread)
	if rate > *most || p.misread > 0 {
		os.Exit(1)
	}
}

// proofs is what was set so far.
type proofs struct {
	pdf                       *gofpdf.Fpdf
	all                       bool
	y                         float64
	excerpts, bad, collisions int
	misread                   int // what the drawings say and the scores do not
}

func (p *proofs) score(path string, bars int) error {
	f, err := musicxml.Open(path)
	if err != nil {
		return err
	}
	n, err := f.Notation(musicxml.Options{})
	if err != nil {
		return err
	}
	name := filepath.Base(path)
	for i := 0; bars > 0 && i < len(n.Bars); i += bars {
		last := min(i+bars, len(n.Bars)) - 1
		p.set(name, n, engrave.Options{From: n.Bars[i].Start, To: n.Bars[last].End()})
	}
	if bars > 0 {
		return nil
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		return err
	}
	r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	for i := range r.Spots {
		p.set(name, n, excerpt.Hardest(r, &r.Spots[i]).Options())
	}
	return nil
}

// set sets an excerpt and tells what is wrong with it.
func (p *proofs) set(name string, n *notation.Score, o engrave.Options) {
	o.Width, o.Space = width, space
	p.excerpts++
	d, err := engrave.Set(n, o)
	if err != nil {
		p.bad++
		fmt.Printf("%s: %v\n", name, err)
		return
	}
	for _, problem := range proof.ReadBack(n, d, space) {
		p.misread++
		fmt.Printf("%s: %s\n", name, problem)
	}
	found := proof.Collisions(n, d, space)
	title := fmt.Sprintf("%s, bar %s, %s quarters", name, barAt(n, o), o.From)
	for _, c := range found {
		fmt.Printf("%s: %v\n", title, c)
	}
	p.collisions += len(found)
	if len(found) > 0 {
		p.bad++
	}
	if p.pdf != nil && (p.all || len(found) > 0) {
		p.draw(title, d, found)
	}
}

func barAt(n *notation.Score, o engrave.Options) string {
	number := ""
	for _, b := range n.Bars {
		if o.From.Less(b.Start) {
			break
		}
		number = b.Number
	}
	return number
}

// draw puts an excerpt on the page, a box around each collision.
func (p *proofs) draw(title string, d *engrave.Drawing, found []proof.Collision) {
	const top, left, bottom = 10.0, 15.0, 287.0
	if p.pdf.PageNo() == 0 || p.y+d.Height+8 > bottom {
		p.pdf.AddPage()
		p.y = top
	}
	p.pdf.SetFont("Helvetica", "", 8)
	p.pdf.SetTextColor(120, 120, 120)
	p.pdf.Text(left, p.y+3, title)
	p.y += 5
	d.Draw(engrave.PDF(p.pdf), left, p.y)
	p.pdf.SetDrawColor(255, 0, 0)
	p.pdf.SetLineWidth(0.3)
	for _, c := range found {
		for _, b := range []engrave.Box{c.A.Box, c.B.Box} {
			p.pdf.Rect(left+b.Left, p.y+b.Top, b.Right-b.Left, b.Bottom-b.Top, "D")
		}
	}
	p.y += d.Height + 4
}
