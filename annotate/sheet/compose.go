package sheet

import (
	"math"
	"slices"
	"strings"

	"hardbars/detect"
)

// limits is how much of each list is shown.
type limits struct {
	entries, advice, pictures, returns, assumed int // advice: the entries that say how
}

// wishes is what a sheet should show, from what it cannot do without to what it
// need not go beyond. A few places with the steps to take come before many
// without.
var wishes = []limits{
	{entries: 1, advice: 0, pictures: 1, returns: 1, assumed: 1},
	{entries: 3, advice: 2, pictures: 2, returns: 2, assumed: 2},
	{entries: 5, advice: 3, pictures: 3, returns: 3, assumed: 3},
	{entries: 8, advice: 4, pictures: 4, returns: 4, assumed: 4},
	{entries: 12, advice: 6, pictures: 6, returns: 6, assumed: 8},
	{entries: 12, advice: 12, pictures: 12, returns: 10, assumed: 8},
}

// everything is what a full sheet shows.
var everything = limits{math.MaxInt, math.MaxInt, math.MaxInt, math.MaxInt, math.MaxInt}

// fields are the limits, one by one.
func (l *limits) fields() []*int {
	return []*int{&l.entries, &l.advice, &l.pictures, &l.returns, &l.assumed}
}

// composer lays out a sheet. What it has set it keeps, since it tries one
// layout after another.
type composer struct {
	c       canvas
	f       frame
	r       *detect.Report
	o       Options
	top     []block // above the list
	list    list
	entries map[string][]part // of the list, by what they say

	pictures, returns, assumed items
}

// items are the parts of a block of which only the first may be shown.
type items struct {
	heading string
	parts   []part
}

func newComposer(c canvas, f frame, r *detect.Report, o Options) *composer {
	return &composer{
		c: c, f: f, r: r, o: o,
		top:      []block{titleBlock(c, f, r), letterBlock(c, f, o.Remarks), stripBlock(c, f, r, o)},
		list:     chooseList(c, f, r, o.Full),
		entries:  map[string][]part{},
		pictures: pictureItems(c, f, r),
		returns:  returnItems(c, f, r, o.Full),
		assumed:  assumedItems(c, f, r, o.Full),
	}
}

// pages is the sheet. Unless it may be full, its lists grow, one thing at a
// time, as long as the pages are few enough.
func (s *composer) pages() []page {
	if s.o.Full {
		return s.layOut(everything)
	}
	most := mostPages(len(s.r.Score.Bars))
	l := wishes[0]
	pages := s.layOut(l)
	for _, wish := range wishes[1:] {
		for i, wanted := range wish.fields() {
			for shown := l.fields()[i]; *shown < *wanted; {
				*shown++
				more := s.layOut(l)
				if len(more) > max(most, len(pages)) {
					*shown--
					break
				}
				pages = more
			}
		}
	}
	return pages
}

// mostPages is three, and one more for every 300 bars past the first 300.
func mostPages(bars int) int { return 3 + max(0, bars-1)/300 }

// layOut is the sheet from top to bottom, with so much of each list.
func (s *composer) layOut(l limits) []page {
	list := s.list.first(l.entries, l.advice)
	elsewhere := list.takeRemarks(s.r, s.o.Remarks)
	return paginate(s.f, firstTop, append(slices.Clip(s.top),
		s.practiseBlock(list),
		remarksBlock(s.c, s.f, elsewhere),
		s.pictures.first(s.c, s.f, l.pictures),
		s.returns.first(s.c, s.f, l.returns),
		s.assumed.first(s.c, s.f, l.assumed),
		cautionBlock(s.c, s.f),
	))
}

// practiseBlock is the list to work from.
func (s *composer) practiseBlock(l list) block {
	b := block{heading: l.heading}
	for i, family := range l.shown {
		b.parts = append(b.parts, s.entry(family, i < l.advised, l.said[family.ID])...)
	}
	switch {
	case l.hidden > 0:
		b.parts = append(b.parts, leftOut(s.c, s.f, l.hidden))
	case l.advised < len(l.shown):
		b.parts = append(b.parts, paragraph(s.c, "How to practise the others: --full, or hardbars spots with --spot and the number.", bodyFace, 0, s.f.inner()))
	}
	return block{b.heading, append(b.parts, l.easier...)}
}

// entry is one entry of the list.
func (s *composer) entry(family detect.Family, how bool, said []string) []part {
	key := strings.Join(append([]string{family.ID}, said...), "\n")
	if how {
		key += " how"
	}
	if _, set := s.entries[key]; !set {
		s.entries[key] = entryParts(s.c, s.f, newEntry(s.r, family, how, said))
	}
	return s.entries[key]
}

// first is the block with so many of the items, and how many more there are.
func (it items) first(c canvas, f frame, most int) block {
	b := block{heading: it.heading, parts: slices.Clip(it.parts[:min(most, len(it.parts))])}
	if hidden := len(it.parts) - len(b.parts); hidden > 0 {
		b.parts = append(b.parts, leftOut(c, f, hidden))
	}
	return b
}
