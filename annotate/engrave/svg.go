package engrave

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"

	"hardbars/annotate/smufl"
)

// SVGOptions is what a page may tell about a picture.
type SVGOptions struct {
	ID    string // begins every id inside, so that several pictures can stand in one page; "" for "m"
	Title string // read out by screen readers; both may be empty
	Desc  string
}

// SVG writes it as an SVG picture that needs no font: words are outlines too.
// Black is currentColor, so that the picture follows a page's own colour. Every
// mark has its Role as its class; data-note is the Note.ID that it belongs to,
// and data-chord the index of its chord.
func (d *Drawing) SVG(w io.Writer, o SVGOptions) error {
	if o.ID == "" {
		o.ID = "m"
	}
	s := &svg{prefix: escaped(o.ID) + "-", known: map[string]bool{}}
	for _, it := range d.Items {
		s.item(it)
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%smm" height="%smm" fill="currentColor" role="img"`,
		short(d.Width), short(d.Height), short(d.Width), short(d.Height))
	if o.Title != "" {
		fmt.Fprintf(&out, ` aria-labelledby="%stitle"`, s.prefix)
	}
	if o.Desc != "" {
		fmt.Fprintf(&out, ` aria-describedby="%sdesc"`, s.prefix)
	}
	out.WriteString(">\n")
	if o.Title != "" {
		fmt.Fprintf(&out, "<title id=\"%stitle\">%s</title>\n", s.prefix, escaped(o.Title))
	}
	if o.Desc != "" {
		fmt.Fprintf(&out, "<desc id=\"%sdesc\">%s</desc>\n", s.prefix, escaped(o.Desc))
	}
	fmt.Fprintf(&out, "<defs>\n%s</defs>\n%s</svg>\n", s.defs.Bytes(), s.body.Bytes())
	_, err := w.Write(out.Bytes())
	return err
}

// svg is a picture while it is being written: each outline once, in defs.
type svg struct {
	prefix     string
	known      map[string]bool
	defs, body bytes.Buffer
}

func (s *svg) item(it Item) {
	switch {
	case it.Glyph != "":
		s.define(it.Glyph, smufl.Bravura().Glyph(it.Glyph).Outline)
		s.use(it.Glyph, it.X, it.Y, it.Scale, attributes(it, "fill"))
	case it.Stroke != nil:
		s.stroke(it)
	case it.Shape != nil:
		fmt.Fprintf(&s.body, "<path%s d=\"%s\"/>\n", attributes(it, "fill"), pathData(it.Shape))
	case it.Text != "":
		s.words(it)
	}
}

func (s *svg) stroke(it Item) {
	k := it.Stroke
	colour := attributes(it, "stroke")
	if it.Colour == "" {
		colour += ` stroke="currentColor"`
	}
	if k.Dash > 0 {
		colour += fmt.Sprintf(` stroke-dasharray="%s"`, short(k.Dash))
	}
	fmt.Fprintf(&s.body, "<path%s stroke-width=\"%s\" d=\"M%s %sL%s %s\"/>\n", colour,
		short(k.Width), short(k.X1), short(k.Y1), short(k.X2), short(k.Y2))
}

// words sets text letter by letter, with the text itself as its label.
func (s *svg) words(it Item) {
	t := it.Face.typeface()
	fmt.Fprintf(&s.body, "<g%s role=\"img\" aria-label=\"%s\">\n", attributes(it, "fill"), escaped(it.Text))
	x := it.X
	for _, r := range t.printable(it.Text) {
		l := t.letter(r)
		if len(l.outline) > 0 {
			name := fmt.Sprintf("text%s-%04x", t.style, r)
			s.define(name, l.outline)
			s.use(name, x, it.Y, it.Face.Size, "")
		}
		x += l.advance * it.Face.Size
	}
	s.body.WriteString("</g>\n")
}

func (s *svg) define(name string, path []Segment) {
	if s.known[name] {
		return
	}
	s.known[name] = true
	fmt.Fprintf(&s.defs, "<path id=\"%s%s\" d=\"%s\"/>\n", s.prefix, name, pathData(path))
}

func (s *svg) use(name string, x, y, scale float64, attributes string) {
	fmt.Fprintf(&s.body, "<use%s href=\"#%s%s\" transform=\"translate(%s %s) scale(%s)\"/>\n",
		attributes, s.prefix, name, short(x), short(y), short(scale))
}

// attributes tells an item's role, owners and colour; paint is the attribute
// that takes the colour.
func attributes(it Item, paint string) string {
	a := fmt.Sprintf(` class="%s"`, it.Role)
	if it.Note >= 0 {
		a += fmt.Sprintf(` data-note="%d"`, it.Note)
	}
	if it.Chord >= 0 {
		a += fmt.Sprintf(` data-chord="%d"`, it.Chord)
	}
	if it.Colour != "" {
		a += fmt.Sprintf(` %s="%s"`, paint, escaped(it.Colour))
	}
	return a
}

func pathData(path []Segment) string {
	var b []byte
	for i, s := range path {
		if s.Op == 'M' && i > 0 {
			b = append(b, 'Z')
		}
		b = append(b, s.Op)
		if s.Op == 'C' {
			b = fmt.Appendf(b, "%s %s %s %s ", short(s.X1), short(s.Y1), short(s.X2), short(s.Y2))
		}
		b = fmt.Appendf(b, "%s %s", short(s.X), short(s.Y))
	}
	return string(append(b, 'Z'))
}

// short is a length with at most three decimals: to a thousandth of a
// millimetre, or of a staff space or an em in an outline.
func short(v float64) string {
	b := strconv.AppendFloat(nil, v, 'f', 3, 64)
	b = bytes.TrimRight(b, "0")
	b = bytes.TrimSuffix(b, []byte("."))
	if string(b) == "-0" {
		return "0"
	}
	return string(b)
}

func escaped(text string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(text)) // a bytes.Buffer takes all
	return b.String()
}
