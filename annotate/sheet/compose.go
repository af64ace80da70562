package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"hardbars/annotate/engrave"
	"hardbars/annotate/excerpt"
	"hardbars/detect"
)

// limits is how much of each list is shown, and how many forms shorter than
// need be the last block is.
type limits struct{ rows, blocks, returns, assumed, shorter int }

// wishes is what a sheet should show, from what it cannot do without to what it
// need not go beyond.
var wishes = []limits{
	{rows: 1, blocks: 1, returns: 1, assumed: 1},
	{rows: 5, blocks: 2, returns: 2, assumed: 2},
	{rows: 8, blocks: 4, returns: 3, assumed: 3},
	{rows: 12, blocks: mostBlocks, returns: 10, assumed: 8},
}

// leastRows is how many rows of the short list the first page should have.
const leastRows = 5

// mostBlocks is how many blocks a sheet has that may not be full.
const mostBlocks = 12

// everything is what a full sheet shows.
var everything = limits{math.MaxInt, math.MaxInt, math.MaxInt, math.MaxInt, 0}

// composer lays out a sheet. What it has set it keeps, since it tries one
// layout after another.
type composer struct {
	c      canvas
	f      frame
	r      *detect.Report
	o      Options
	top    []block // above the list
	list   list
	music  map[string]music // by family
	rows   map[string]part  // of the short list, by family
	blocks map[string]block // of the places, by family and what they say
	whole  map[string]bool  // the families whose block is not to be shortened
	onPage map[string]int   // the page of a place's block, by the number of the place

	plan             []block
	returns, assumed items
}

// items are the parts of a block of which only the first may be shown.
type items struct {
	heading string
	parts   []part
}

func newComposer(c canvas, f frame, r *detect.Report, o Options) *composer {
	s := &composer{
		c: c, f: f, r: r, o: o,
		list:    chooseList(c, f, r, o.Full),
		rows:    map[string]part{},
		blocks:  map[string]block{},
		whole:   map[string]bool{},
		onPage:  map[string]int{},
		returns: returnItems(c, f, r, o.Full),
		assumed: assumedItems(c, f, r, o.Full),
	}
	if o.Plan != nil {
		s.plan = planBlocks(c, f, o.Plan, false)
	}
	s.setTop()
	s.setMusic()
	return s
}

// setTop sets what stands above the list, with as many rows of numbers in the
// strip as leave room for a list on the first page.
func (s *composer) setTop() {
	for lanes := mostLanes(s.r, s.o.Full); lanes > 0; lanes-- {
		s.top = []block{titleBlock(s.c, s.f, s.r), letterBlock(s.c, s.f, s.o.Remarks), stripBlock(s.c, s.f, s.r, s.o, lanes)}
		if s.o.Full || len(paginate(s.f, firstTop, append(slices.Clip(s.top), s.listBlock(s.list.first(leastRows, 0))))) == 1 {
			return
		}
	}
}

// setMusic sets the bars of every place that may have a block, several at a
// time. A fault in one of them comes to the caller.
func (s *composer) setMusic() {
	s.music = map[string]music{}
	if s.o.Music == nil {
		return
	}
	listed := s.list.listed
	if !s.o.Full {
		listed = listed[:min(mostBlocks, len(listed))]
	}
	families := slices.Concat(listed, s.list.added)
	set := make([]music, len(families))
	faults := make([]any, len(families))
	var all sync.WaitGroup
	for i, family := range families {
		all.Go(func() {
			defer func() { faults[i] = recover() }()
			set[i] = s.set(s.r.Spot(family.LearnFirst))
		})
	}
	all.Wait()
	for i, family := range families {
		if faults[i] != nil {
			panic(faults[i])
		}
		s.music[family.ID] = set[i]
	}
}

// The most lines of music that a block has, unless the sheet is full, and then.
const (
	mostSystems     = 3
	mostFullSystems = 12
)

// set sets the bars of one place.
func (s *composer) set(spot *detect.Spot) music {
	e, systems := excerpt.Hardest(s.r, spot), mostSystems
	if s.o.Full {
		e, systems = excerpt.Whole(s.r, spot), mostFullSystems
	}
	o := e.Options()
	o.Width, o.Space, o.Systems = s.f.inner(), musicSpace, systems
	m := s.onPages(o)
	if e.Cut {
		m.cut = fmt.Sprintf("It goes on after bar %s.", s.r.Score.Bars[e.Last].Number)
	}
	return m
}

// onPages sets an excerpt as one drawing, or as several where one would be
// higher than a page.
func (s *composer) onPages(o engrave.Options) music {
	const head = 30.0 // what stands above the music
	room := s.f.bottom() - topMargin - head
	d, err := engrave.Set(s.o.Music, o)
	if err != nil {
		return music{failed: err}
	}
	if d.Height <= room || len(d.Systems) < 2 {
		return music{drawings: []*engrave.Drawing{d}}
	}
	var m music
	asked := o.To
	o.Cut, o.Systems = true, 0
	for first := 0; first < len(d.Systems); {
		next := first + 1
		for next < len(d.Systems) && d.Systems[next].Bottom-d.Systems[first].Top <= room {
			next++
		}
		o.From, o.To = d.Systems[first].From, d.Systems[next-1].To
		page, err := engrave.Set(s.o.Music, o)
		if err != nil {
			return music{failed: err}
		}
		m.drawings = append(m.drawings, page)
		first = next
	}
	if end := d.Systems[len(d.Systems)-1].To; end.Less(asked) {
		m.cut = fmt.Sprintf("It goes on after bar %s.", s.r.Score.Bars[s.r.Score.BarEnding(end)].Number)
	}
	return m
}

// pages is the sheet, with the page of each block known to the short list.
func (s *composer) pages() []page {
	pages := s.fill()
	for i := range pages {
		pages[i] = withRoom(s.f, pages[i])
	}
	for i, page := range pages {
		for _, p := range page {
			if p.spot != "" {
				s.onPage[p.spot] = i + 1
			}
		}
	}
	return pages
}

// fill is the sheet. Unless it may be full, its lists grow, one thing at a
// time, as long as the pages are few enough and the short list keeps its page.
// Where there is no room for a block there may be some for a shorter form;
// what is short in the end without need is made whole.
func (s *composer) fill() []page {
	if s.o.Full {
		return s.layOut(everything)
	}
	most := mostPages(len(s.r.Score.Bars)) + s.planPages()
	l := wishes[0]
	pages := s.layOut(l)
	fits := func(l limits) bool {
		more := s.layOut(l)
		if len(more) > max(most, len(pages)) || s.listPage(more) > s.listPage(pages) {
			return false
		}
		pages = more
		return true
	}
	grow := func(shown *int, wanted int) {
		for *shown < wanted {
			*shown++
			if !fits(l) {
				*shown--
				return
			}
		}
	}
	last := len(wishes) - 1
	for _, wish := range wishes[1:last] {
		grow(&l.rows, wish.rows)
		grow(&l.blocks, wish.blocks)
		grow(&l.returns, wish.returns)
		grow(&l.assumed, wish.assumed)
	}
	grow(&l.rows, wishes[last].rows)
	grow(&l.blocks, wishes[last].blocks)
	s.oneShorter(&l, fits)
	s.makeWhole(l, fits)
	grow(&l.returns, wishes[last].returns)
	grow(&l.assumed, wishes[last].assumed)
	return pages
}

// oneShorter adds a block in the longest form for which there is room.
func (s *composer) oneShorter(l *limits, fits func(limits) bool) {
	if l.blocks >= wishes[len(wishes)-1].blocks {
		return
	}
	more := *l
	more.blocks++
	for more.shorter = 1; more.shorter < forms; more.shorter++ {
		if fits(more) {
			*l = more
			return
		}
	}
}

// makeWhole lets no block be short that need not be.
func (s *composer) makeWhole(l limits, fits func(limits) bool) {
	for _, family := range s.list.first(l.rows, l.blocks).shown {
		s.whole[family.ID] = true
		if !fits(l) {
			delete(s.whole, family.ID)
		}
	}
}

// planPages is how many pages the plan takes, which come on top.
func (s *composer) planPages() int {
	if s.plan == nil {
		return 0
	}
	return len(paginate(s.f, topMargin, s.plan))
}

// listPage is the index of the page with the short list.
func (s *composer) listPage(pages []page) int {
	return slices.IndexFunc(pages, func(p page) bool {
		return slices.ContainsFunc(p, func(p placed) bool { return p.outline.words == s.list.heading })
	})
}

// mostPages is four, and one more for every 300 bars past the first 300.
func mostPages(bars int) int { return 4 + max(0, bars-1)/300 }

// layOut is the sheet from top to bottom, with so much of each list.
func (s *composer) layOut(l limits) []page {
	list := s.list.first(l.rows, l.blocks)
	elsewhere := list.takeRemarks(s.r, s.o.Remarks)
	blocks := append(slices.Clip(s.top), s.listBlock(list))
	for i, family := range list.shown {
		b := s.spot(family, list.said[family.ID])
		switch {
		case s.whole[family.ID]:
			b.shorter = nil
		case i == l.blocks-1:
			b = b.shortened(l.shorter)
		}
		blocks = append(blocks, b)
	}
	returns, assumed := s.returns.first(s.c, s.f, l.returns), s.assumed.first(s.c, s.f, l.assumed)
	returns.back, assumed.back = !s.o.Full, !s.o.Full
	blocks = append(blocks, s.plan...)
	return paginate(s.f, firstTop, append(blocks,
		remarksBlock(s.c, s.f, elsewhere),
		returns,
		assumed,
		cautionBlock(s.c, s.f),
	))
}

// listBlock is the short list of what to practise first.
func (s *composer) listBlock(l list) block {
	b := block{heading: l.heading}
	for i, family := range l.rows {
		row := s.row(family)
		row.close = i < len(l.rows)-1
		b.parts = append(b.parts, row)
	}
	switch {
	case l.hidden > 0:
		b.parts = append(b.parts, leftOut(s.c, s.f, l.hidden))
	case len(l.shown) < len(l.rows):
		b.parts = append(b.parts, paragraph(s.c, "Those without a page: the sheet with --full, or hardbars spots with --spot and the number.", bodyFace, 0, s.f.inner()))
	}
	b.parts = append(b.parts, l.easier...)
	return b
}

// row is a family's row of the short list.
func (s *composer) row(family detect.Family) part {
	if _, set := s.rows[family.ID]; !set {
		s.rows[family.ID] = listRow(s.c, s.f, newEntry(s.r, family), func() int { return s.onPage[family.LearnFirst] })
	}
	return s.rows[family.ID]
}

// spot is the block of a family.
func (s *composer) spot(family detect.Family, said []string) block {
	key := strings.Join(append([]string{family.ID}, said...), "\n")
	if _, set := s.blocks[key]; !set {
		first := s.r.Spot(family.LearnFirst)
		b := spotBlock(s.c, s.f, newEntry(s.r, family), s.music[family.ID], first.Occurrences[first.Hardest].Picture, said)
		if s.o.Full {
			b.shorter = nil
		}
		s.blocks[key] = b
	}
	return s.blocks[key]
}

// first is the block with so many of the items, and how many more there are.
func (it items) first(c canvas, f frame, most int) block {
	b := block{heading: it.heading, parts: slices.Clip(it.parts[:min(most, len(it.parts))])}
	if hidden := len(it.parts) - len(b.parts); hidden > 0 {
		b.parts = append(b.parts, leftOut(c, f, hidden))
	}
	return b
}
