// Package form finds what comes again in a piece: bars and sections that are
// the same, transposed or varied.
//
// What is hard, who plays, and what the sections of a form are called beyond
// their letters are kept out.
package form

import (
	"slices"
	"strings"

	"hardbars/score"
	"hardbars/score/perform"
)

// Form is how a piece is put together: its sections in the order in which they
// stand on the page, and in which they are played.
type Form struct {
	Score    *score.Score
	Bars     *Bars         // of both hands
	Sections []Section     // every bar is in one of them
	Runs     []perform.Run // the bars in the order of play
	Played   []int         // the sections in the order of play, indices into Sections
	Again    []Again       // bars that have come before
}

// Section is bars that belong together. Sections with one letter are the same
// or nearly, sections with one name the same in every note.
type Section struct {
	Letter string // "A"
	Name   string // the letter, with a stroke for each way in which it is changed: "A′"
	First  int    // index into Score.Bars
	Last   int    // index into Score.Bars, inclusive
	Times  int    // how often repeat signs have it played
	Like   *Like  // nil for the first of its letter
}

// Again is bars that are the same in every note as bars before them.
type Again struct {
	First, Last int // indices into Score.Bars, inclusive
	Of          int // the bar that First is the same as
}

// Find cuts a piece into sections and finds what comes again.
//
// The piece is described as briefly as can be, and sections begin where the
// runs of that description meet what they are copies of. Repeat signs, segno,
// coda and the like always cut. A strain that is repeated by signs is one
// section unless a part of it comes in another strain as well: the composer's
// signs go first. Of several endings the last is compared; the others belong
// to its section.
func Find(s *score.Score) *Form {
	f := &Form{Score: s, Bars: NewBars(s, score.Both)}
	if len(s.Bars) == 0 {
		return f
	}
	f.Runs, _ = perform.Order(s)
	f.Again = f.again()
	d := newDescription(s, f.Bars)
	runs := d.sections()
	if len(runs) == 0 { // nothing but endings that are not the last
		f.Sections = []Section{{Letter: "A", Name: "A", Last: len(s.Bars) - 1, Times: 1}}
	}
	for i, r := range runs {
		f.Sections = append(f.Sections, d.section(s, r))
		f.Sections[i].Like = d.like(runs, i)
		f.name(i)
	}
	f.order()
	return f
}

// A section costs a fortieth of the piece, and 4 quarters at least: a piece has
// a handful of sections, of a few bars or more. Common practice.
const (
	costShare = 40
	leastCost = 4000 // thousandths of a quarter
	knowing   = 2    // bars: what a copy that is known again by its tune costs besides
)

// newDescription lays out the bars of a piece for comparison. Endings that are
// not the last are left out, and pickups. A single bar between signs goes with
// its neighbours.
func newDescription(s *score.Score, bars *Bars) *description {
	d := &description{bars: bars, themes: newThemes(s)}
	total, first := 0, 0
	for n, st := range perform.Strains(s) {
		cut := true
		for i := st.First; i <= st.Last; i++ {
			b := &s.Bars[i]
			cut = cut || arrival(b)
			if i == st.First && i+1 < len(s.Bars) && b.Length.Less(b.Time.Length) {
				continue // a pickup
			}
			if !perform.On(b, st.Times) {
				if len(d.index) > 0 {
					first = i + 1
				}
				continue
			}
			d.index = append(d.index, i)
			d.first = append(d.first, first)
			d.cost = append(d.cost, thousandths(b.Length))
			d.strain = append(d.strain, n)
			d.signed = append(d.signed, st.Times > 1)
			d.cut = append(d.cut, cut)
			total += thousandths(b.Length)
			cut, first = departure(b), i+1
		}
	}
	d.runCost = max(leastCost, total/costShare)
	d.knowCost = knowing * total / max(1, len(d.index))
	d.joinSingleBars()
	return d
}

// arrival reports whether a jump lands on a bar, departure whether one, or the
// end, comes after it.
func arrival(b *score.Bar) bool {
	return slices.Contains(b.Jumps, "segno") || slices.Contains(b.Jumps, "coda")
}

func departure(b *score.Bar) bool {
	return slices.ContainsFunc(b.Jumps, func(jump string) bool { return jump != "segno" && jump != "coda" })
}

// mostQuarters is more than any bar holds.
const mostQuarters = 1000

func thousandths(quarters score.Rat) int {
	return max(1, int(1000*score.Min(quarters, score.Int(mostQuarters)).Float()))
}

// joinSingleBars takes away the cut beside a bar that would be a section alone.
func (d *description) joinSingleBars() {
	n := len(d.cut)
	for i := range n {
		switch alone := d.cut[i] && (i+1 == n || d.cut[i+1]); {
		case alone && i > 0:
			d.cut[i] = false
		case alone && n > 1:
			d.cut[1] = false
		}
	}
}

// section makes a section of a run: it takes in the pickup and the endings
// that were left out.
func (d *description) section(s *score.Score, r run) Section {
	sec := Section{First: d.first[r.from], Last: len(s.Bars) - 1, Times: 1}
	if r.to < len(d.first) {
		sec.Last = d.first[r.to] - 1
	}
	for _, st := range perform.Strains(s) {
		if st.First <= sec.Last && sec.First <= st.Last {
			sec.Times = max(sec.Times, st.Times)
		}
	}
	return sec
}

// name gives section i its letter and name.
func (f *Form) name(i int) {
	sec := &f.Sections[i]
	if sec.Like == nil {
		sec.Letter = Letters(f.letters(i))
		sec.Name = sec.Letter
		return
	}
	like := f.Sections[sec.Like.Section]
	sec.Letter, sec.Name = like.Letter, like.Name
	if sec.Like.Relation() == Exact {
		return
	}
	names := map[string]bool{}
	for _, other := range f.Sections[:i] {
		if other.Letter == sec.Letter {
			names[other.Name] = true
		}
	}
	sec.Name = sec.Letter + strings.Repeat("′", len(names))
}

// letters counts the letters used before section i.
func (f *Form) letters(i int) int {
	used := 0
	for _, sec := range f.Sections[:i] {
		if sec.Like == nil {
			used++
		}
	}
	return used
}

// order lists the sections as they are played: anew wherever play comes to a
// section or goes back in it.
func (f *Form) order() {
	last, at := -1, -1 // section, bar
	for _, p := range f.Runs {
		for i, sec := range f.Sections {
			if sec.First > p.Last || sec.Last < p.First {
				continue
			}
			if i != last || p.First <= at {
				f.Played = append(f.Played, i)
			}
			last, at = i, min(p.Last, sec.Last)
		}
	}
}

// again finds the bars that have come before, in the longest runs that there are.
func (f *Form) again() []Again {
	var all []Again
	earlier := map[int][]int{} // bars by what they are, those before bar i
	for i := 0; i < len(f.Score.Bars); {
		longest := Again{First: i, Last: i - 1}
		for _, of := range few(earlier[f.Bars.same[i]]) {
			last := i
			for last+1 < len(f.Score.Bars) && of+last+1-i < i && f.Bars.Same(of+last+1-i, last+1) {
				last++
			}
			if last > longest.Last {
				longest = Again{i, last, of}
			}
		}
		if longest.Last >= i {
			all = append(all, longest)
		}
		for next := max(i, longest.Last) + 1; i < next; i++ {
			if !f.Bars.Empty(i) {
				earlier[f.Bars.same[i]] = append(earlier[f.Bars.same[i]], i)
			}
		}
	}
	return all
}

// few are the bars of one kind that are tried, the first and the last of many.
func few(bars []int) []int {
	if n := len(bars); n > firstTried+lastTried {
		return append(slices.Clone(bars[:firstTried]), bars[n-lastTried:]...)
	}
	return bars
}

// BarsPlayed counts the bars in the order of play.
func (f *Form) BarsPlayed() int {
	count := 0
	for _, p := range f.Runs {
		count += p.Last - p.First + 1
	}
	return count
}

// Through reports whether the piece is through-composed: no section comes again,
// not by signs either.
func (f *Form) Through() bool {
	return len(f.Played) == len(f.Sections) && !slices.ContainsFunc(f.Sections, func(sec Section) bool { return sec.Like != nil })
}

// OneRhythm is how many bars have the rhythm that most have.
func (f *Form) OneRhythm() int {
	count := map[int]int{}
	most := 0
	for i, rhythm := range f.Bars.rhythm {
		if !f.Bars.Empty(i) {
			count[rhythm]++
			most = max(most, count[rhythm])
		}
	}
	return most
}

// Letters counts A, B, … Z, AA, AB, … from 0.
func Letters(n int) string {
	name := string(rune('A' + n%26))
	if n < 26 {
		return name
	}
	return Letters(n/26-1) + name
}
