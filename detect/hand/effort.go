package hand

import (
	_ "embed"
	"strconv"
	"strings"
)

// The effort of a fingering is a sum of terms, each a weight times how often
// or how far. The rules are those of Parncutt, Sloboda, Clarke, Raekallio &
// Desain 1997 with the spans of their table, which the player's span scales.
// The other terms say what these rules leave out, so far as it shows in
// fingerings that were printed: all weights are fitted together, drawn towards
// nothing, and the rules much less than the others. They are whole numbers, so
// that every machine finds the same fingers.
//
// Distances are in half steps of the white keys: 2 from a white key to the
// next, 1 to the black key between.
const (
	most     = 15 // half steps that a step of the melody is told apart by
	mostTurn = 12 // the same over two steps
	mostPair = 14 // the same within a chord, of neighbouring fingers
	mostSpan = 18 // the same within a chord, of its outer fingers
)

// rule is one of the paper's, by its number there.
type rule int

const (
	stretch rule = iota
	smallSpan
	largeSpan
	positionChange
	changeSize
	threeFourFive
	threeToFour
	fourOnBlack
	thumbOnBlack
	fiveOnBlack
	passing
	rules
)

// block is one table of weights: how many there are along each index.
type block struct {
	name   string
	size   []int
	from   int    // place of its first weight
	stride [4]int // how far the weights lie apart along each index, the last one 1; 0 for no index
}

var (
	ruleTerm    = newBlock("rule", int(rules))
	fingerTerm  = newBlock("finger", 5, 2, 2)                 // finger; black; the only key
	roleBefore  = newBlock("after-rest", 5, 3)                // finger; lowest, highest or only key of the chord
	roleAfter   = newBlock("before-rest", 5, 3)               // the same
	beatTerm    = newBlock("beat", 3, 5, 3)                   // off the beat, on it, on the bar; finger; role
	pairTerm    = newBlock("chord-pair", 5, 5, mostPair+1)    // fingers next to each other; distance
	spanTerm    = newBlock("chord-span", 2, 5, 5, mostSpan+1) // more between; outer fingers; distance
	stepTerm    = newBlock("step", 2, 5, 5, 2*most+1)         // both single; from finger to finger; distance
	colourTerm  = newBlock("colours", 3, 4, 5, 5)             // down, same key, up; black or white, both; fingers
	gapTerm     = newBlock("gap", 3, 2, 9)                    // gap; same finger; distance
	moveTerm    = newBlock("over-rest", 5, 5, 17)             // fingers; distance in steps
	againTerm   = newBlock("chord-again", 2, 2, 4)            // same keys; same fingers; keys less 2
	turnTerm    = newBlock("turn", 3, 5, 5, 2*mostTurn+1)     // first step down, same, up; first and third finger; distance
	backTerm    = newBlock("back", 2)                         // the key of two ago: another finger, the same
	weightCount = blocks[len(blocks)-1].from + blocks[len(blocks)-1].count()
)

var blocks []*block

func newBlock(name string, size ...int) *block {
	b := &block{name: name, size: size}
	if n := len(blocks); n > 0 {
		b.from = blocks[n-1].from + blocks[n-1].count()
	}
	for i, stride := len(size)-1, 1; i >= 0; i-- {
		b.stride[4-len(size)+i] = stride
		stride *= size[i]
	}
	blocks = append(blocks, b)
	return b
}

func (b *block) count() int {
	n := 1
	for _, s := range b.size {
		n *= s
	}
	return n
}

// at is the place of a weight by its indices, 0 before those of a table with
// fewer than four.
func (b *block) at(h, i, j, k int) int {
	return b.from + h*b.stride[0] + i*b.stride[1] + j*b.stride[2] + k*b.stride[3]
}

//go:embed effort.txt
var effortText string

var effort = readEffort(effortText)

// readEffort reads lines of a block's name, all its indices but the last, a
// colon and the weights along the last index; what is left out is 0.
func readEffort(text string) []int {
	weights := make([]int, weightCount)
	for line := range strings.Lines(text) {
		head, row, ok := strings.Cut(line, ":")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.Fields(head)
		for _, b := range blocks {
			if b.name != fields[0] {
				continue
			}
			place := b.from
			for i, f := range fields[1:] {
				place += number(f) * b.stride[4-len(b.size)+i]
			}
			for i, f := range strings.Fields(row) {
				weights[place+i] = number(f)
			}
		}
	}
	return weights
}

// number reads a whole number of a file that is part of the program.
func number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		panic("effort.txt: " + err.Error())
	}
	return n
}

// tally adds up terms.
type tally struct {
	cost  int
	terms []term // kept only where asked for
	keep  bool
}

// term is one weight's place and how often it counts, in halves.
type term struct{ place, times int }

func (t *tally) add(place, times int) {
	if times == 0 {
		return
	}
	t.cost += effort[place] * times
	if t.keep {
		t.terms = append(t.terms, term{place, times})
	}
}

func (t *tally) rule(r rule, times int) { t.add(ruleTerm.from+int(r), times) }

// Costs that are not fitted: what a hand does not do unless it must.
const (
	never     = 1_000_000 // one finger on two keys in legato; out of reach
	otherThan = 100_000   // another finger than the printed one
	letGo     = 8_000     // a held key is left or changes its finger
	sameTwo   = 3_000     // two fingers go on to two other keys in legato
	handbook  = 6_000     // another finger than handbooks give a scale or an arpeggio
	whole     = 2         // times: both outer lines of the chord
	half      = 1         // one of them
)

// roles of a key in its chord.
const (
	lowest = iota
	highest
	only
)

// outer is an outer struck key of a moment: its place in the keys, its role,
// and how often it counts. A single key counts for both.
type outer struct{ place, role, times int }

func (m *moment) outer() []outer {
	if m.lo == m.hi {
		return []outer{{m.lo, only, whole}}
	}
	return []outer{{m.lo, lowest, half}, {m.hi, highest, half}}
}

// lines are what leads from moments to the next: their lowest keys and their
// highest, or one line where all have a single one.
func lines(single bool) (n, times int) {
	if single {
		return 1, whole
	}
	return 2, half
}

// grasp is the effort of taking a moment's keys with some fingers.
func (e *economy) grasp(t *tally, m, next *moment, g grip) {
	last := len(g) - 1
	for i := range last {
		t.add(pairTerm.at(0, int(g[i]-1), int(g[i+1]-1), min(steps(m.keys[i], m.keys[i+1]), mostPair)), whole)
	}
	if last > 0 {
		t.add(spanTerm.at(bit(last > 1), int(g[0]-1), int(g[last]-1), min(steps(m.keys[0], m.keys[last]), mostSpan)), whole)
	}
	for _, o := range m.outer() {
		finger, role, times := int(g[o.place]-1), o.role, o.times
		t.add(fingerTerm.at(0, finger, bit(IsBlack(m.keys[o.place])), bit(role == only)), times)
		t.add(beatTerm.at(0, m.beat, finger, role), times)
		if m.gap != noGap {
			t.add(roleBefore.at(0, 0, finger, role), times)
		}
		if next == nil || next.gap != noGap {
			t.add(roleAfter.at(0, 0, finger, role), times)
		}
	}
}

// step is the effort of going from one moment to the next.
func (e *economy) step(t *tally, a *moment, ga grip, b *moment, gb grip) {
	for i, key := range b.keys {
		if b.struck[i] {
			continue
		}
		for j, before := range a.keys {
			if before == key && ga[j] != gb[i] {
				t.cost += letGo
			}
		}
	}
	single := len(ga) == 1 && len(gb) == 1
	melody := a.lo == a.hi && b.lo == b.hi // whatever else is held
	n, times := lines(melody)
	for side := range n {
		i, j := a.lo, b.lo
		if side == 1 {
			i, j = a.hi, b.hi
		}
		from, to := int(ga[i]-1), int(gb[j]-1)
		d := steps(a.keys[i], b.keys[j])
		t.add(stepTerm.at(bit(single), from, to, clip(d, most)+most), times)
		t.add(colourTerm.at(sign(d)+1, 2*bit(IsBlack(a.keys[i]))+bit(IsBlack(b.keys[j])), from, to), times)
		t.add(gapTerm.at(0, b.gap, bit(from == to), clip(d, 4)+4), times)
		if b.gap != noGap {
			t.add(moveTerm.at(0, from, to, clip(d/2, 8)+8), times)
		}
		if melody && b.gap == noGap && (from == to && d != 0 || crossed(from+1, to+1, d)) {
			t.cost += never
		}
	}
	if slides(a, ga, b, gb) {
		t.cost += sameTwo
	}
	if single {
		e.pairRules(t, a, b, int(ga[0]), int(gb[0]))
	}
	if len(ga) == len(gb) && len(ga) > 1 {
		same, fingers := true, true
		for i := range ga {
			same = same && a.keys[i] == b.keys[i]
			fingers = fingers && ga[i] == gb[i]
		}
		t.add(againTerm.at(0, bit(same), bit(fingers), min(len(ga), 5)-2), whole)
	}
}

// slides reports whether two fingers go on in legato to two other keys: from
// third to third they take turns, but wide ones are taken as octaves are.
func slides(a *moment, ga grip, b *moment, gb grip) bool {
	const widest = 9 // semitones: a sixth
	return len(ga) == 2 && len(gb) == 2 && b.gap == noGap && ga[0] == gb[0] && ga[1] == gb[1] &&
		a.keys[0] != b.keys[0] && a.keys[1] != b.keys[1] && b.keys[1]-b.keys[0] <= widest
}

// crossed reports whether fingers cross that cannot, or as no teacher lets
// them: two without the thumb, or the thumb and the fifth.
func crossed(from, to, d int) bool {
	wrong := (to-from)*d < 0
	return wrong && (from != 1 && to != 1 || from == 5 || to == 5)
}

// turn is the effort of three moments together.
func (e *economy) turn(t *tally, a *moment, ga grip, b *moment, gb grip, c *moment, gc grip) {
	e.skip(t, a, ga, b, c, gc)
	if len(ga) == 1 && len(gb) == 1 && len(gc) == 1 {
		e.tripleRules(t, a, b, c, int(ga[0]), int(gb[0]), int(gc[0]))
	}
}

// skip is the effort of going from one moment to the next but one, whatever
// the fingers between.
func (e *economy) skip(t *tally, a *moment, ga grip, b, c *moment, gc grip) {
	n, times := lines(a.lo == a.hi && b.lo == b.hi && c.lo == c.hi)
	for side := range n {
		i, j, k := a.lo, b.lo, c.lo
		if side == 1 {
			i, j, k = a.hi, b.hi, c.hi
		}
		first := steps(a.keys[i], b.keys[j])
		d := steps(a.keys[i], c.keys[k])
		t.add(turnTerm.at(sign(first)+1, int(ga[i]-1), int(gc[k]-1), clip(d, mostTurn)+mostTurn), times)
		if d == 0 {
			t.add(backTerm.at(0, 0, 0, bit(ga[i] == gc[k])), times)
		}
	}
}

// spans are the paper's limits of a pair of fingers in semitones, the lower
// finger first; see its table.
type spans struct{ minComf, minRel, maxRel, maxComf, maxPrac, minPrac int }

var pairSpans = [6][6]spans{
	1: {2: {-3, 1, 5, 8, 10, -5}, 3: {-2, 3, 7, 10, 12, -4}, 4: {-1, 5, 9, 12, 14, -3}, 5: {1, 7, 11, 13, 15, -1}},
	2: {3: {1, 1, 2, 3, 5, 1}, 4: {1, 3, 4, 5, 7, 1}, 5: {2, 5, 6, 8, 10, 2}},
	3: {4: {1, 1, 2, 2, 4, 1}, 5: {1, 3, 4, 5, 7, 1}},
	4: {5: {1, 1, 2, 3, 5, 1}},
}

// between are the limits and the distance of two fingers, from the lower
// finger to the higher, for this hand.
func (e *economy) between(f, g, keyF, keyG int) (spans, int) {
	d := keyG - keyF
	if f > g {
		f, g, d = g, f, -d
	}
	return e.spans[f][g], d
}

// pairRules are the rules that look at two fingers.
func (e *economy) pairRules(t *tally, a, b *moment, f, g int) {
	keyA, keyB := a.keys[0], b.keys[0]
	if f == g {
		return
	}
	s, d := e.between(f, g, keyA, keyB)
	t.rule(stretch, whole*(max(0, d-s.maxComf)+max(0, s.minComf-d)))
	weight := 2
	if f == 1 || g == 1 {
		weight = 1
	}
	t.rule(smallSpan, whole*weight*max(0, s.minRel-d))
	t.rule(largeSpan, whole*weight*max(0, d-s.maxRel))
	blackA, blackB := IsBlack(keyA), IsBlack(keyB)
	if f == 3 && g == 4 {
		t.rule(threeToFour, whole)
	}
	if f == 3 && g == 4 && !blackA && blackB || f == 4 && g == 3 && blackA && !blackB {
		t.rule(fourOnBlack, whole)
	}
	if g == 1 && blackB || f == 1 && blackA {
		t.rule(thumbOnBlack, whole*(1+bit(!blackA || !blackB)))
	}
	if g == 5 && blackB && !blackA || f == 5 && blackA && !blackB {
		t.rule(fiveOnBlack, whole)
	}
	if (f == 1 || g == 1) && d < 0 {
		times := 1
		if f == 1 && blackA && !blackB || g == 1 && blackB && !blackA {
			times = 3
		}
		t.rule(passing, whole*times)
	}
}

// tripleRules are the rules that look at three fingers.
func (e *economy) tripleRules(t *tally, a, b, c *moment, f, g, h int) {
	keyA, keyB, keyC := a.keys[0], b.keys[0], c.keys[0]
	if f != h {
		s, d := e.between(f, h, keyA, keyC)
		if over := max(0, d-s.maxComf) + max(0, s.minComf-d); over > 0 {
			full := g == 1 && (keyB-keyA)*(keyC-keyB) > 0 && (d > s.maxPrac || d < s.minPrac)
			t.rule(positionChange, whole*(1+bit(full)))
			t.rule(changeSize, whole*over)
		}
	} else if keyA != keyC {
		t.rule(positionChange, whole)
		t.rule(changeSize, whole*abs(keyC-keyA))
	}
	if f != g && g != h && f != h && f >= 3 && g >= 3 && h >= 3 {
		t.rule(threeFourFive, whole)
	}
}

// steps is from one key to another in half steps of white keys.
func steps(a, b int) int { return halfSteps[b+keyShift] - halfSteps[a+keyShift] }

const keyShift = 64

var halfSteps = func() (all [256 + keyShift]int) {
	for i := range all {
		all[i] = int(2 * (KeyX(i-keyShift) - KeyX(0)) / WhiteWidth)
	}
	return all
}()

func clip(x, most int) int { return max(-most, min(most, x)) }

func sign(x int) int { return bit(x > 0) - bit(x < 0) }

func abs(x int) int { return max(x, -x) }

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}
