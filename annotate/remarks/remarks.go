package remarks

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// Remarks is a page held against a report: every remark at its bars.
type Remarks struct {
	Heading    Heading
	Paragraphs []string
	All        []Remark       // by bar; those of the same bars as they were written
	Skipped    []detect.Spot  // as they were found, in the order of the page
	Report     *detect.Report // without the skipped hot spots, and with the added ones at its end
}

// Remark is something said about some bars.
type Remark struct {
	First, Last int // indices into Score.Bars, inclusive
	Bars        Bars
	Hand        score.Hand // Both where none was said
	Text        string
	Line        int  // in the file, from 1
	Fingers     bool // the text is nothing but fingers
}

// Added is the kind of hot spots that were added by hand.
const Added = detect.Added

// fingers is "4 2 1" or "5-3 2, 1": a finger or an exchange of fingers for each
// key.
var fingers = regexp.MustCompile(`^[1-5](?:(?:[-–]|\s*,\s*|\s+)[1-5])*$`)

// On puts the page's remarks at the bars of a report, drops what it skips and
// adds what it adds. The report itself stays as it is. The error names every
// line that speaks of something that is not there.
func (p *Page) On(r *detect.Report) (*Remarks, error) {
	on := &Remarks{Heading: p.Heading, Paragraphs: p.Paragraphs, Report: r}
	var errs []error
	place := func(l Line) (Remark, bool) {
		first, last, err := l.Bars.in(r.Score)
		if err != nil {
			errs = append(errs, fmt.Errorf("line %d: %w", l.Number, err))
		}
		return Remark{first, last, l.Bars, l.Hand, l.Text, l.Number, fingers.MatchString(l.Text)}, err == nil && l.Text != ""
	}
	for _, l := range p.Remarks {
		if remark, ok := place(l); ok {
			on.All = append(on.All, remark)
		}
	}
	slices.SortStableFunc(on.All, func(a, b Remark) int { return cmp.Or(a.First-b.First, a.Last-b.Last) })
	for _, skip := range p.Skipped {
		spot := r.Spot(skip.Spot)
		switch {
		case spot == nil:
			errs = append(errs, fmt.Errorf("line %d: skip %s: there is no hot spot with this number for this player; hardbars spots --all lists them", skip.Number, skip.Spot))
		case !on.skips(skip.Spot):
			on.Skipped = append(on.Skipped, *spot)
		}
	}
	if len(on.Skipped) > 0 {
		on.Report = r.Without(on.skips)
	}
	var added []detect.Addition
	for _, l := range p.Added {
		if remark, ok := place(l); ok {
			added = append(added, detect.Addition{First: remark.First, Last: remark.Last, Hand: remark.Hand, Text: remark.Text})
		} else if l.Text == "" {
			errs = append(errs, fmt.Errorf("line %d: add %s: say after the colon what is hard there", l.Number, l.Bars))
		}
	}
	on.Report = on.Report.With(added)
	return on, errors.Join(errs...)
}

func (r *Remarks) skips(id string) bool {
	return slices.ContainsFunc(r.Skipped, func(sp detect.Spot) bool { return sp.ID == id })
}

// Empty reports whether nothing was said at all.
func (r *Remarks) Empty() bool {
	return r.Heading == Heading{} && len(r.Paragraphs)+len(r.All)+len(r.Skipped)+len(r.Added()) == 0
}

// Added are the hot spots that the page adds.
func (r *Remarks) Added() []detect.Spot {
	return r.Report.Only(func(sp *detect.Spot) bool { return sp.Kind == Added }).Spots
}

// For are the remarks about any of some bars, given as indices into Score.Bars,
// and one hand; those about both hands are about each.
func (r *Remarks) For(firstBar, lastBar int, hand score.Hand) []Remark {
	var some []Remark
	for _, remark := range r.All {
		if remark.First <= lastBar && remark.Last >= firstBar && remark.concerns(hand) {
			some = append(some, remark)
		}
	}
	return some
}

// Said are the remarks that For gives, in words.
func (r *Remarks) Said(firstBar, lastBar int, hand score.Hand) []string {
	var said []string
	for _, m := range r.For(firstBar, lastBar, hand) {
		said = append(said, m.String())
	}
	return said
}

// Within reports whether a remark is about bars and hand of a hot spot and
// nothing beyond.
func (m Remark) Within(sp *detect.Spot) bool {
	return sp.FirstBar <= m.First && m.Last <= sp.LastBar && m.concerns(sp.Hand)
}

func (m Remark) concerns(hand score.Hand) bool {
	return m.Hand == hand || m.Hand == score.Both || hand == score.Both
}

// String is the remark with its place: "bars 30–37, left hand: lightly",
// "bar 12, right hand: fingers 4 2 1".
func (m Remark) String() string {
	where := strings.ReplaceAll(m.Bars.String(), "-", "–")
	if m.Hand != score.Both {
		where += ", " + m.Hand.Name()
	}
	return where + ": " + m.Words()
}

// Words is what the remark says: a fingering is called one.
func (m Remark) Words() string {
	if m.Fingers {
		return "fingers " + m.Text
	}
	return m.Text
}

// FingerList is a fingering key by key: "4 2 1" and "4-2-1" are three, "3-1 2"
// is an exchange on the first key and one finger on the next. It is nil for a
// remark in words.
func (m Remark) FingerList() []string {
	if !m.Fingers {
		return nil
	}
	list := strings.FieldsFunc(m.Text, func(r rune) bool { return r == ' ' || r == ',' })
	if len(list) == 1 {
		list = strings.FieldsFunc(m.Text, func(r rune) bool { return r == '-' || r == '–' })
	}
	return list
}
