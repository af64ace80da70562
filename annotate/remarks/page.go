// Package remarks reads the teacher's own remarks on a piece: a plain text file
// beside the score, written by hand, and puts them at their bars.
//
//	for: Ida
//	from: Frau Lindner
//	date: 3 May
//
//	Begin with the coda. Ten minutes an evening are enough.
//
//	bar 9 left: try 2-5-3 and cross over
//	bars 30-37: hands together, from the downbeat
//	bar 12 right: 4 2 1
//	add bars 47-48 both: shared between the hands
//	skip 7
//
// Each of these stands on a line of its own, in capitals or not, and a sign of
// a list before it (- * + > #) changes nothing:
//
//   - bar BARS HAND: TEXT is a remark. BARS is one bar as printed, or the first
//     and last with a dash between. Where the score prints the same numbers
//     more than once, (2) after them means the second time. HAND is left, right
//     or both, or LH or RH; without it both are meant. A TEXT of nothing but
//     fingers is a fingering. Without TEXT the line waits to be filled in and
//     says nothing. Indented lines below it go on with it.
//   - bar BARS: right hand takes B♭1 gives these notes to that hand, and
//     everything is computed anew; several are parted by commas.
//   - add bars BARS HAND: TEXT makes these bars a hot spot, R1, R2 and so on.
//   - skip 7 drops hot spot 7; skip 7, 9 drops two.
//   - for:, from: and date: are for the heading.
//   - What stands between <!-- and --> is for the writer alone.
//
// Every other line is part of a free paragraph, which ends at an empty line. A
// line that begins as one of the above and does not go on as such, or misspells
// it ("bra 9"), is an error; where it goes on with a paragraph, only if it can
// hardly be anything else ("bar 9 lfet: …").
//
// The package knows this grammar and the bars and hot spots of a report. It
// refuses to judge what a remark says, and it knows no paper and no files.
package remarks

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"hardbars/score"
)

// Page is a remarks file as it was written. Nothing in it has been held against
// a score yet.
type Page struct {
	Heading    Heading
	Paragraphs []string // free text, its line ends kept
	Remarks    []Line
	Added      []Line
	Skipped    []Skip
}

// Heading says whose the remarks are; a part that is not given is "".
type Heading struct{ For, From, Date string }

// Parts are the names and texts of what is given, in the order of the heading.
func (h Heading) Parts() [][2]string {
	var given [][2]string
	for _, part := range [][2]string{{"for", h.For}, {"from", h.From}, {"date", h.Date}} {
		if part[1] != "" {
			given = append(given, part)
		}
	}
	return given
}

// Line is something said about some bars.
type Line struct {
	Number int // of the line in the file, from 1
	Bars   Bars
	Hand   score.Hand
	Text   string // on one line; "" where it waits to be filled in
}

// Skip drops one hot spot.
type Skip struct {
	Number int    // of the line in the file, from 1
	Spot   string // its id
}

// longest is how long one remark may be, in characters: ten lines on the sheet
// at most. A paragraph may have any length.
const longest = 400

// The lines of the grammar. The number of a bar has a digit in it.
var (
	barNumber  = `([^\s:,()–—-]*\d[^\s:,()–—-]*)`
	barsAndOn  = `bars?\s+` + barNumber + `(?:\s*[-–—]\s*` + barNumber + `)?(?:\s*\(([1-9]\d?)\))?(?:,?\s+(left|lh|right|rh|both)(?:\s+hands?)?)?\s*:\s*(.*)$`
	remarkLine = regexp.MustCompile(`(?i)^` + barsAndOn)
	addLine    = regexp.MustCompile(`(?i)^add\s+` + barsAndOn)
	skipLine   = regexp.MustCompile(`(?i)^skip\s+(\d+(?:(?:\s*,\s*|\s+and\s+|\s+)\d+)*)$`)
	headLine   = regexp.MustCompile(`(?i)^(for|from|date)\s*:\s*(.*)$`)
	listSigns  = regexp.MustCompile(`^(?:(?:[-*+>]|#+) )+`)
	titleSigns = regexp.MustCompile(`^(?:#+ )+`)
	number     = regexp.MustCompile(`\d+`)
)

// Parse reads a remarks file: UTF-8, UTF-16 with a byte-order mark, or what is
// neither, as older editors write it, as Windows-1252. The error names every
// line that cannot be understood, and what was expected there.
func Parse(data []byte) (*Page, error) {
	p := parser{page: &Page{}}
	for i, line := range strings.Split(decode(data), "\n") {
		p.number = i + 1
		p.line(line)
	}
	if p.comment > 0 {
		p.errs = append(p.errs, fmt.Errorf("line %d: this comment never ends: close it with -->", p.comment))
	}
	return p.page, errors.Join(p.errs...)
}

// decode makes plain text of the file: one kind of line end, and nothing that
// cannot be printed.
func decode(data []byte) string {
	if bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}) {
		data, _ = unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewDecoder().Bytes(data) // what it cannot read becomes U+FFFD
	}
	if !utf8.Valid(data) {
		data, _ = charmap.Windows1252.NewDecoder().Bytes(data) // has a sign for every byte
	}
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(data), "\uFEFF"))
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r >= ' ' && r != 0x7F && r < 0xFFFE, r > 0xFFFF:
			return r
		}
		return ' '
	}, text)
}

// parser reads line by line.
type parser struct {
	page      *Page
	number    int   // of the line at hand
	comment   int   // the line in which an open comment began; 0 outside
	paragraph bool  // the line before belongs to a paragraph
	goesOn    *Line // the remark that an indented line goes on with
	errs      []error
}

func (p *parser) fail(format string, args ...any) {
	p.errs = append(p.errs, fmt.Errorf("line %d: %w", p.number, fmt.Errorf(format, args...)))
}

func (p *parser) line(raw string) {
	text := strings.Join(strings.Fields(raw), " ")
	bare := listSigns.ReplaceAllString(text, "")
	before := p.paragraph
	switch {
	case p.comment > 0 || strings.HasPrefix(bare, "<!--"):
		p.readComment(bare)
	case text == "":
	case p.statement(bare):
		return
	case p.goesOn != nil && text == bare && strings.IndexAny(raw, " \t") == 0:
		p.extend(text)
		return
	case begins(bare) && !(before && text == bare), slip.MatchString(bare):
		p.fail("%q: %s", bare, expected)
	default:
		p.prose(text, before && text == bare)
		return
	}
	p.paragraph, p.goesOn = false, nil
}

// expected is what every misread line is told.
const expected = `expected one of “bar 9 left: …”, “bars 30-37: …”, “add bars 47-48 both: …”, “skip 7”, “for: …”, “from: …”, “date: …”; ` +
	`for a free paragraph begin with another word`

func (p *parser) readComment(text string) {
	if p.comment == 0 {
		p.comment = p.number
	}
	_, after, closed := strings.Cut(text, "-->")
	if !closed {
		return
	}
	p.comment = 0
	if after != "" {
		p.fail("%q: nothing may follow a comment on its line; put it on the next", strings.TrimSpace(after))
	}
}

// statement reads a line that is more than prose; false where it is not.
func (p *parser) statement(text string) bool {
	var goesOn *Line
	if m := remarkLine.FindStringSubmatch(text); m != nil {
		goesOn = p.about(&p.page.Remarks, m)
	} else if m := addLine.FindStringSubmatch(text); m != nil {
		goesOn = p.about(&p.page.Added, m)
	} else if m := skipLine.FindStringSubmatch(text); m != nil {
		for _, id := range number.FindAllString(m[1], -1) {
			p.page.Skipped = append(p.page.Skipped, Skip{p.number, id})
		}
	} else if m := headLine.FindStringSubmatch(text); m != nil {
		p.heading(m[1], m[2])
	} else {
		return false
	}
	p.paragraph, p.goesOn = false, goesOn
	return true
}

// about takes in what is said about some bars, from the parts of barsAndOn.
func (p *parser) about(list *[]Line, m []string) *Line {
	l := Line{Number: p.number, Bars: Bars{From: m[1], To: m[2]}, Hand: score.Both, Text: m[5]}
	if l.Bars.To == "" {
		l.Bars.To = l.Bars.From
	}
	l.Bars.Time, _ = strconv.Atoi(m[3]) // one or two digits, or none
	switch strings.ToLower(m[4]) {
	case "left", "lh":
		l.Hand = score.Left
	case "right", "rh":
		l.Hand = score.Right
	}
	*list = append(*list, l)
	last := &(*list)[len(*list)-1]
	p.checkLength(last.Text)
	return last
}

func (p *parser) extend(text string) {
	p.goesOn.Text = strings.TrimSpace(p.goesOn.Text + " " + text)
	p.checkLength(p.goesOn.Text)
}

func (p *parser) checkLength(text string) {
	if n := utf8.RuneCountInString(text); n > longest {
		p.fail("the remark has %d characters, and there is room for %d: say the rest in a free paragraph", n, longest)
	}
}

func (p *parser) heading(name, text string) {
	h := &p.page.Heading
	part := map[string]*string{"for": &h.For, "from": &h.From, "date": &h.Date}[strings.ToLower(name)]
	switch {
	case text == "":
	case *part != "":
		p.fail("a second “%s:”: the heading has room for one", strings.ToLower(name))
	default:
		*part = text
		p.checkLength(text)
	}
}

// prose goes on with a paragraph or begins one.
func (p *parser) prose(text string, goesOn bool) {
	text = titleSigns.ReplaceAllString(text, "")
	if all := p.page.Paragraphs; goesOn {
		all[len(all)-1] += "\n" + text
	} else {
		p.page.Paragraphs = append(all, text)
	}
	p.paragraph, p.goesOn = true, nil
}

// String is the page in its own grammar, in a fixed order: parsed again it is
// the same, but for the numbers of the lines and the comments.
func (p *Page) String() string {
	var b strings.Builder
	for _, part := range p.Heading.Parts() {
		fmt.Fprintf(&b, "%s: %s\n", part[0], part[1])
	}
	for _, text := range p.Paragraphs {
		fmt.Fprintf(&b, "\n%s\n", text)
	}
	b.WriteString("\n")
	for _, l := range p.Remarks {
		fmt.Fprintln(&b, l)
	}
	for _, l := range p.Added {
		fmt.Fprintf(&b, "add %s\n", l)
	}
	for _, s := range p.Skipped {
		fmt.Fprintf(&b, "skip %s\n", s.Spot)
	}
	return b.String()
}

// String is the line in its own grammar.
func (l Line) String() string {
	text := l.Bars.String()
	if l.Hand != score.Both {
		text += " " + l.Hand.String()
	}
	return strings.TrimSpace(text + ": " + l.Text)
}

// Append returns a remarks file with a line more at its end. What was there
// before is kept byte for byte, at the beginning.
func Append(data []byte, l Line) []byte {
	out := bytes.Clone(data)
	if len(out) > 0 && !bytes.HasSuffix(out, []byte("\n")) {
		out = append(out, '\n')
	}
	return append(out, l.String()+"\n"...)
}

var errRemarkGone = errors.New("this remark is no longer there: it was changed or taken back elsewhere, or the file is one that only an editor can change; look at the page again")

// Replace puts lines in place of a remark, which stays above them as a comment;
// without lines it is taken back. The remark is known by its line and, where
// that has moved, by what it says. Every other byte of the file stays as it is.
func Replace(data []byte, old Line, by ...Line) ([]byte, error) {
	lines := strings.SplitAfter(string(data), "\n")
	from, to := find(lines, old)
	if from < 0 {
		return nil, errRemarkGone
	}
	label := "taken back"
	if len(by) > 0 {
		label = "changed"
	}
	words := strings.TrimRight(strings.Join(lines[from:to], ""), "\r\n")
	if strings.Contains(words, "--") { // of which a comment must have none before its end
		words = strings.ReplaceAll(words, "--", "- -")
	}
	end := "\n"
	if strings.HasSuffix(lines[to-1], "\r\n") {
		end = "\r\n"
	}
	text := "<!-- " + label + ": " + strings.TrimPrefix(words, "\ufeff") + " -->" + end
	if strings.HasPrefix(words, "\ufeff") {
		text = "\ufeff" + text
	}
	for _, l := range by {
		text += l.String() + end
	}
	return []byte(strings.Join(lines[:from], "") + text + strings.Join(lines[to:], "")), nil
}

// find looks for the lines of a remark, -1 where it is not there.
func find(lines []string, l Line) (from, to int) {
	from = -1
	for i := range lines {
		end := i + 1
		for end < len(lines) && strings.TrimSpace(lines[end]) != "" && strings.IndexAny(lines[end], " \t") == 0 {
			end++
		}
		page, err := Parse([]byte(strings.Join(lines[i:end], "")))
		if err != nil || len(page.Remarks) != 1 || len(page.Paragraphs) > 0 {
			continue
		}
		found := page.Remarks[0]
		found.Number = l.Number
		if found == l && (from < 0 || i == l.Number-1) {
			from, to = i, end
		}
	}
	return from, to
}
