package progress

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math/bits"
	"slices"

	"hardbars/score"
)

// Print is what some bars are known by when their numbers have changed: their
// notes, whichever hand plays them, in a form short enough for a line of text.
type Print struct {
	Bars    int    // how many
	Notes   int    // how many are struck in them
	Exact   string // 8 hexadecimal digits: equal for the same notes
	Shape   string // the same, equal for transposed notes too
	Sketch  uint64 // alike in most of its bits where most of the notes are the same
	Nth, Of int    // which of the places of the score with these very notes it is, counted from 1
}

// String is the print as it stands at the end of a line.
func (p Print) String() string {
	return fmt.Sprintf("[%d %d %s %s %016x %d/%d]", p.Bars, p.Notes, p.Exact, p.Shape, p.Sketch, p.Nth, p.Of)
}

// page is a score laid out for finding bars by their notes.
type page struct {
	score *score.Score
	bars  [][]pageNote
	votes [][64]int       // of each bar, for sketches
	seen  map[int][]Print // of every window of so many bars, without Nth and Of
}

// pageNote is what is struck in a bar.
type pageNote struct {
	at, length score.Rat // from the start of the bar; in quarters
	grace, key int
}

func newPage(s *score.Score) *page {
	p := &page{score: s, bars: make([][]pageNote, len(s.Bars)), votes: make([][64]int, len(s.Bars)), seen: map[int][]Print{}}
	for i := range s.Notes {
		n := &s.Notes[i]
		p.bars[n.Bar] = append(p.bars[n.Bar], pageNote{n.Onset.Sub(s.Bars[n.Bar].Start), n.Length, n.Grace, n.Pitch.MIDI()})
	}
	for bar, notes := range p.bars {
		slices.SortFunc(notes, func(a, b pageNote) int {
			return cmp.Or(a.at.Cmp(b.at), a.grace-b.grace, a.key-b.key, a.length.Cmp(b.length))
		})
		for _, n := range notes {
			p.votes[bar] = add(p.votes[bar], votesOf(n))
		}
	}
	return p
}

// votesOf is, for each bit of a sketch, 1 or −1: what a note is for or against.
func votesOf(n pageNote) (votes [64]int) {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %d", n.at, n.key))
	hash := binary.BigEndian.Uint64(sum[:])
	for i := range votes {
		votes[i] = 2*int(hash>>i&1) - 1
	}
	return votes
}

func add(a, b [64]int) [64]int {
	for i := range a {
		a[i] += b[i]
	}
	return a
}

// print is that of the bars from first to last, indices into Score.Bars.
func (p *page) print(first, last int) Print {
	all := p.windows(last - first + 1)
	print := all[first]
	for i, other := range all {
		if other.Exact == print.Exact {
			print.Of++
			if i <= first {
				print.Nth++
			}
		}
	}
	return print
}

// windows are the prints of all passages of so many bars, by their first bar.
func (p *page) windows(bars int) []Print {
	if all, ok := p.seen[bars]; ok {
		return all
	}
	var all []Print
	for first := 0; bars > 0 && first+bars <= len(p.bars); first++ {
		all = append(all, p.window(first, bars))
	}
	p.seen[bars] = all
	return all
}

func (p *page) window(first, bars int) Print {
	lowest, notes := 0, 0
	var votes [64]int
	for i := first; i < first+bars; i++ {
		for _, n := range p.bars[i] {
			if lowest == 0 || n.key < lowest {
				lowest = n.key
			}
		}
		votes = add(votes, p.votes[i])
		notes += len(p.bars[i])
	}
	print := Print{Bars: bars, Notes: notes, Exact: p.digest(first, bars, 0), Shape: p.digest(first, bars, lowest)}
	for i, v := range votes {
		if v > 0 {
			print.Sketch |= 1 << i
		}
	}
	return print
}

// digest is of the notes of some bars, with keys counted from lowest.
func (p *page) digest(first, bars, lowest int) string {
	hash := sha256.New()
	for i := first; i < first+bars; i++ {
		fmt.Fprintf(hash, "bar %s\n", p.score.Bars[i].Length)
		for _, n := range p.bars[i] {
			fmt.Fprintf(hash, "%s %s %d %d\n", n.at, n.length, n.grace, n.key-lowest)
		}
	}
	return hex.EncodeToString(hash.Sum(nil)[:4])
}

// Match is how bars were found again, from the surest way to the least sure.
type Match string

const (
	Exact      Match = "exact"      // the same notes
	Transposed Match = "transposed" // the same notes, all higher or lower by one interval
	Similar    Match = "similar"    // nearly the same notes
	ByNumber   Match = "number"     // the bars with these numbers: the entry does not say which notes
	Missing    Match = "missing"    // not at all
)

// mostApart is how many bits of 64 the sketches of bars may differ in that
// count as nearly the same. Bars that have nothing in common differ in about
// 32, and bars that share 9 notes of 10 in about 9 (the angle between the
// lists of their notes, over π, times 64). Common practice.
const mostApart = 16

// find looks for the bars of a print that were logged at the bar near, -1 where
// that is not known. Of several places with the same notes it takes the one that
// comes as the logged one came among its like. Where there are more or fewer of
// them now, some were changed: then the bars of that number if they are nearly
// the same, or else the place that is most like it and nearest.
func (p *page) find(print Print, near int) (first int, how Match) {
	all := p.windows(print.Bars)
	exact := where(all, func(w Print) bool { return w.Exact == print.Exact })
	if len(exact) > 0 && len(exact) == print.Of && print.Nth >= 1 && print.Nth <= print.Of {
		return exact[print.Nth-1], Exact
	}
	if near >= 0 && near < len(all) && apart(all[near], print) <= mostApart {
		if all[near].Exact == print.Exact {
			return near, Exact
		}
		return near, Similar
	}
	if len(exact) > 0 {
		return nearest(exact, near), Exact
	}
	least := mostApart
	for _, w := range all {
		least = min(least, apart(w, print))
	}
	if similar := where(all, func(w Print) bool { return apart(w, print) <= least }); len(similar) > 0 {
		return nearest(similar, near), Similar
	}
	if shape := where(all, func(w Print) bool { return w.Shape == print.Shape }); len(shape) > 0 {
		return nearest(shape, near), Transposed
	}
	return 0, Missing
}

// apart is in how many bits two sketches differ; in all where one of the two
// has less than three quarters of the other's notes.
func apart(a, b Print) int {
	if 4*min(a.Notes, b.Notes) < 3*max(a.Notes, b.Notes) {
		return 64
	}
	return bits.OnesCount64(a.Sketch ^ b.Sketch)
}

func where(all []Print, is func(Print) bool) []int {
	var at []int
	for i, w := range all {
		if is(w) {
			at = append(at, i)
		}
	}
	return at
}

// nearest is the bar of some that is nearest to another, the earlier of two.
func nearest(bars []int, near int) int {
	return slices.MinFunc(bars, func(a, b int) int { return cmp.Compare(max(a-near, near-a), max(b-near, near-b)) })
}
