package sheet

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"hardbars/annotate/engrave"
	"hardbars/annotate/practice"
	"hardbars/annotate/remarks"
	"hardbars/detect"
)

// Section is a part of the sheet that can be asked for.
type Section string

// The sections in the order of the sheet. The lesson is one page that stands
// alone.
const (
	Lesson   Section = "lesson"
	Passages Section = "passages"
	Habits   Section = "habits"
	Form     Section = "form"
	Plan     Section = "plan"
	Figures  Section = "figures"
)

// Sections are all of them.
var Sections = []Section{Lesson, Passages, Habits, Form, Plan, Figures}

// ParseSections reads a list such as "lesson,plan"; "all" is every one.
func ParseSections(list string) ([]Section, error) {
	if strings.TrimSpace(list) == "all" {
		return Sections, nil
	}
	var chosen []Section
	for _, name := range strings.Split(list, ",") {
		s := Section(strings.TrimSpace(name))
		if !slices.Contains(Sections, s) {
			return nil, fmt.Errorf("%q is no part of the sheet; choose from lesson, passages, habits, form, plan and figures, with commas between, or all", s)
		}
		chosen = append(chosen, s)
	}
	return chosen, nil
}

// mostOnLesson is how many passages the first page has.
const mostOnLesson = 5

// composer lays out a sheet.
type composer struct {
	c canvas
	f frame
	r *detect.Report
	o Options

	entries []entry // of the shortlist, in the order to learn, then what the teacher added
	lines   []music // one line of music for each entry
	music   []music // the bars of each entry

	elsewhere []remarks.Remark // those at no entry
}

func newComposer(c canvas, f frame, r *detect.Report, o Options) *composer {
	s := &composer{c: c, f: f, r: r, o: o}
	lessons := practice.ForShortlist(r)
	for i := range r.Passages {
		if p := &r.Passages[i]; p.Shortlist {
			s.entries = append(s.entries, passageEntry(r, p, lessons[p]))
		}
	}
	for i := range r.Spots {
		if sp := &r.Spots[i]; sp.Kind == remarks.Added {
			s.entries = append(s.entries, addedEntry(r, sp))
		}
	}
	s.elsewhere = takeRemarks(s.entries, o.Remarks)
	s.setMusic()
	return s
}

// setMusic sets the bars of every entry, several at a time. A fault in one of
// them comes to the caller.
func (s *composer) setMusic() {
	s.lines, s.music = make([]music, len(s.entries)), make([]music, len(s.entries))
	if s.o.Music == nil {
		return
	}
	faults := make([]any, len(s.entries))
	var all sync.WaitGroup
	for i, e := range s.entries {
		all.Go(func() {
			defer func() { faults[i] = recover() }()
			if i < mostOnLesson {
				s.lines[i] = s.line(e)
			}
			s.music[i] = s.bars(e)
		})
	}
	all.Wait()
	for _, fault := range faults {
		if fault != nil {
			panic(fault)
		}
	}
}

// Lines of music: the distance between two lines of a staff on the first page,
// in millimetres, and how many lines a block has at most.
const (
	lineSpace   = 1.3
	mostSystems = 3
)

// line is one line of an entry's music, small.
func (s *composer) line(e entry) music {
	x := e.line()
	o := x.Options()
	o.Width, o.Space, o.Systems = s.f.inner(), lineSpace, 1
	o.Picks.Fingers = x.Fingers(s.o.Fingers)
	return s.onPages(o)
}

// bars is an entry's music.
func (s *composer) bars(e entry) music {
	x := e.bars()
	o := x.Options()
	o.Width, o.Space, o.Systems = s.f.inner(), musicSpace, mostSystems
	o.Picks.Fingers = x.Fingers(s.o.Fingers)
	m := s.onPages(o)
	if x.Cut {
		m.cut = fmt.Sprintf("It goes on after bar %s.", s.r.Score.Bars[x.Last].Number)
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

// wants reports whether a section was asked for.
func (s *composer) wants(section Section) bool {
	return s.o.Sections == nil || slices.Contains(s.o.Sections, section)
}

// pages is the sheet. Its first page stands alone.
func (s *composer) pages() []page {
	var pages []page
	if s.wants(Lesson) {
		pages = s.lesson()
	}
	return append(pages, s.rest(len(pages) == 0)...)
}

// lesson is one page with as many passages as it has room for.
func (s *composer) lesson() []page {
	var pages []page
	for n := min(mostOnLesson, len(s.entries)); n >= 0; n-- {
		for lines := mostLessonLines; lines >= leastLessonLines; lines-- {
			if pages = paginate(s.f, firstTop, s.lessonBlocks(n, lines)); len(pages) == 1 {
				return pages
			}
		}
	}
	return pages
}

// How many lines of words a passage of the first page has, as far as there is room.
const mostLessonLines, leastLessonLines = 4, 2

// lessonBlocks are those of the first page, with so many passages of so many
// lines of words.
func (s *composer) lessonBlocks(passages, lines int) []block {
	blocks := []block{{parts: slices.Concat(titleBlock(s.c, s.f, s.r).parts, verdictBlock(s.c, s.f, s.r, s.o).parts,
		letterBlock(s.c, s.f, s.o.Remarks).parts, stripBlock(s.c, s.f, s.r, mostLanes(len(s.r.Score.Bars))).parts)}}
	for i := range passages {
		blocks = append(blocks, lessonEntry(s.c, s.f, s.entries[i], s.lines[i], lines))
	}
	return append(blocks, shortCaution(s.c, s.f))
}

// rest is everything after the first page, or all of the sheet without it.
func (s *composer) rest(first bool) []page {
	var blocks []block
	if first {
		blocks = append(blocks, titleBlock(s.c, s.f, s.r))
	}
	if s.wants(Passages) {
		blocks = append(blocks, s.passages()...)
		blocks = append(blocks, remarksBlock(s.c, s.f, s.elsewhere))
		if s.o.Full {
			blocks = append(blocks, otherPassages(s.c, s.f, s.r))
		}
	}
	if s.wants(Habits) {
		blocks = append(blocks, habitsBlock(s.c, s.f, s.r))
	}
	if s.wants(Form) {
		blocks = append(blocks, formBlock(s.c, s.f, s.r))
	}
	if s.wants(Plan) && s.o.Plan != nil {
		blocks = append(blocks, planBlocks(s.c, s.f, s.o.Plan, false)...)
	}
	if s.wants(Figures) {
		blocks = append(blocks, figuresBlock(s.c, s.f, s.r), assumedBlock(s.c, s.f, s.r))
	}
	top := topMargin
	if first {
		top = firstTop
	}
	if len(blocks) == 0 {
		return nil
	}
	return paginate(s.f, top, append(blocks, cautionBlock(s.c, s.f)))
}

// passages are the blocks of the shortlist under their heading, and the box
// with the ways of practising that they refer to.
func (s *composer) passages() []block {
	if len(s.entries) == 0 {
		return nil
	}
	var blocks []block
	for i, e := range s.entries {
		b := spotBlock(s.c, s.f, e, s.music[i])
		if i == 0 {
			b.under("The passages, in the order to learn them")
		}
		blocks = append(blocks, b)
	}
	return append(blocks, block{heading: "Ways to practise", parts: []part{waysPart(s.c, s.f)}, back: true})
}
