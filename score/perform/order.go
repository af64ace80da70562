package perform

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hardbars/score"
)

// Run is bars that are played one after the other as they are printed.
type Run struct {
	First, Last int // indices into Score.Bars, inclusive
}

// Order is the piece in the order in which it is played: repeats, endings, da
// capo and dal segno, al fine and al coda, unrolled. From the end of one
// run to the start of the next there is always a jump on the page.
//
// Where the signs are not plain, the warnings say what was made of them:
//   - A repeat goes back to the last sign that begins one, or else to where the
//     last repeat ended, or to the start. Repeats do not lie in one another.
//   - After da capo or dal segno no repeat is taken, and of endings the last
//     (common practice). Each such sign is obeyed once.
//   - What the signs leave out at the end of the piece is played after the rest;
//     what they leave out elsewhere is not played.
func Order(s *score.Score) ([]Run, []score.Warning) {
	w := newWalk(s.Bars)
	for next := 0; next < len(w.bars); {
		end := w.follow(next)
		next = lastHeard(w.heard) + 1
		if next < len(w.bars) {
			w.warn(end, "the piece ends here by its signs, and bar %s follows; taken to be played next", w.bars[next].Number)
		}
	}
	w.warnOfUnheard()
	return w.runs, w.warnings
}

// Strain is the bars from one repeat sign to the next, the endings that belong
// to them included.
type Strain struct {
	First, Last int // indices into Score.Bars, inclusive
	Times       int // how often it is played before any jump: 1 where it is not repeated
}

// Strains cuts the piece at its repeat signs. Every bar is in one strain.
func Strains(s *score.Score) []Strain { return newWalk(s.Bars).strains }

// On reports whether a bar is played the nth time through its strain, counted
// from 1.
func On(b *score.Bar, pass int) bool { return b.Ending == "" || slices.Contains(passes(b), pass) }

// walk goes over the bars as the signs say.
type walk struct {
	bars    []score.Bar
	strains []Strain
	within  []int // the strain of each bar

	runs     []Run
	warnings []score.Warning
	heard    []bool // by bar
	obeyed   []bool // the da capo and dal segno signs, by bar
	jumps    int    // of the signs obeyed
}

func newWalk(bars []score.Bar) *walk {
	w := &walk{bars: bars, obeyed: make([]bool, len(bars)), heard: make([]bool, len(bars))}
	w.readStrains()
	return w
}

func (w *walk) warn(bar int, format string, args ...any) {
	w.warnings = append(w.warnings, score.Warning{Bar: w.bars[bar].Number, Text: fmt.Sprintf(format, args...)})
}

// readStrains cuts the piece at its repeat signs.
func (w *walk) readStrains() {
	first := 0
	for i := 0; i < len(w.bars); i++ {
		if w.bars[i].RepeatStart && i > first {
			w.addStrain(Strain{first, i - 1, 1})
			first = i
		}
		if w.bars[i].RepeatEnd > 0 || w.bars[i].Ending != "" {
			for i+1 < len(w.bars) && w.bars[i+1].Ending != "" && !w.bars[i+1].RepeatStart {
				i++
			}
			w.addStrain(Strain{first, i, w.times(first, i)})
			first = i + 1
		}
	}
	if first < len(w.bars) {
		w.addStrain(Strain{first, len(w.bars) - 1, 1})
	}
}

func (w *walk) addStrain(st Strain) {
	begins := w.bars[st.First].RepeatStart
	switch {
	case begins && st.Times == 1:
		w.warn(st.First, "a repeat begins here and no sign ends it; played once")
	case !begins && st.Times > 1 && st.First > 0:
		w.warn(st.Last, "no sign begins the repeat that ends here; taken to begin with bar %s", w.bars[st.First].Number)
	}
	for range st.Last - st.First + 1 {
		w.within = append(w.within, len(w.strains))
	}
	w.strains = append(w.strains, st)
}

// times is how often a strain is played: as often as its repeat signs say and
// its endings need.
func (w *walk) times(first, last int) int {
	signs, endings := 1, 1
	several := false // endings, not one
	for i := first; i <= last; i++ {
		b := &w.bars[i]
		signs, endings = max(signs, b.RepeatEnd), max(endings, slices.Max(passes(b)))
		several = several || b.Ending != "" && b.Ending != w.bars[last].Ending
	}
	switch {
	case endings > 1 && signs == 1:
		w.warn(last, "endings without a repeat sign; taken as a repeat")
		return endings
	case several && w.bars[last].RepeatEnd > endings:
		w.warn(last, "the last ending has a repeat sign and no ending follows; not played again")
		return endings
	}
	return max(signs, endings)
}

// mostTimes is more than any bar is played.
const mostTimes = 99

// passes lists the times through a strain at which an ending is played; 1 for
// a bar outside of endings.
func passes(b *score.Bar) []int {
	var all []int
	for text := range strings.SplitSeq(b.Ending, ",") {
		if n, err := strconv.Atoi(text); err == nil && n > 0 {
			all = append(all, min(n, mostTimes))
		}
	}
	if all == nil {
		return []int{1}
	}
	return all
}

// follow plays from a bar to where the signs end the piece, and returns the
// last bar played.
func (w *walk) follow(bar int) (end int) {
	pass, jumped := 1, false
	if !On(&w.bars[bar], pass) {
		pass = passes(&w.bars[bar])[0]
	}
	for {
		w.play(bar)
		if jumped && slices.Contains(w.bars[bar].Jumps, "fine") {
			return bar
		}
		end = bar
		if to := w.jump(bar, pass, jumped); to >= 0 {
			bar, pass, jumped = to, w.strains[w.within[to]].Times, true
		} else if bar, pass = w.next(bar, pass, jumped); bar == len(w.bars) {
			return end
		}
	}
}

// play adds a bar to the runs.
func (w *walk) play(bar int) {
	w.heard[bar] = true
	if n := len(w.runs) - 1; n >= 0 && w.runs[n].Last+1 == bar {
		w.runs[n].Last = bar
		return
	}
	w.runs = append(w.runs, Run{bar, bar})
}

// next is the bar after another in play, where no jump is taken: in the same
// strain, at its start again, or in the strain after it.
func (w *walk) next(bar, pass int, jumped bool) (int, int) {
	n := w.within[bar]
	for {
		st := w.strains[n]
		for bar++; bar <= st.Last; bar++ {
			if On(&w.bars[bar], pass) {
				return bar, pass
			}
		}
		if pass++; pass > st.Times {
			if n++; n == len(w.strains) {
				return len(w.bars), 0
			}
			pass = 1
			if jumped {
				pass = w.strains[n].Times
			}
		}
		bar = w.strains[n].First - 1
	}
}

// mostJumps is more da capo and dal segno signs than any piece has.
const mostJumps = 8

// jump is the bar that a sign after a bar leads to, -1 where none does.
func (w *walk) jump(bar, pass int, jumped bool) int {
	b := &w.bars[bar]
	if jumped && slices.Contains(b.Jumps, "to coda") {
		if coda := w.sign("coda", bar+1, len(w.bars)); coda >= 0 {
			return coda
		}
		w.warn(bar, "no coda follows this sign to go there; played on")
	}
	dacapo, dalsegno := slices.Contains(b.Jumps, "da capo"), slices.Contains(b.Jumps, "dal segno")
	if !dacapo && !dalsegno || w.obeyed[bar] || w.again(bar, pass) {
		return -1
	}
	w.obeyed[bar] = true
	if w.jumps++; w.jumps > mostJumps {
		w.warn(bar, "more da capo and dal segno signs than any piece has; this one is passed over")
		return -1
	}
	if !dalsegno {
		return 0
	}
	segno := w.sign("segno", 0, len(w.bars))
	for at := segno; at >= 0 && at <= bar; at = w.sign("segno", at+1, bar+1) {
		segno = at
	}
	if segno < 0 {
		w.warn(bar, "dal segno, and no segno in the piece; played from the start")
		return 0
	}
	return segno
}

// again reports whether a bar is played in a later pass through its strain.
func (w *walk) again(bar, pass int) bool {
	for pass++; pass <= w.strains[w.within[bar]].Times; pass++ {
		if On(&w.bars[bar], pass) {
			return true
		}
	}
	return false
}

// sign is the first bar from one to before another that has a sign, -1 where
// there is none.
func (w *walk) sign(name string, from, to int) int {
	for i := from; i < to; i++ {
		if slices.Contains(w.bars[i].Jumps, name) {
			return i
		}
	}
	return -1
}

func lastHeard(heard []bool) int {
	last := len(heard) - 1
	for last >= 0 && !heard[last] {
		last--
	}
	return last
}

// warnOfUnheard names the bars that the signs leave out.
func (w *walk) warnOfUnheard() {
	for i := 0; i < len(w.bars); i++ {
		first := i
		for i < len(w.bars) && !w.heard[i] {
			i++
		}
		switch {
		case i == first+1:
			w.warn(first, "the signs leave this bar out")
		case i > first:
			w.warn(first, "the signs leave out bars %s to %s", w.bars[first].Number, w.bars[i-1].Number)
		}
	}
}
