package form

import (
	"cmp"
	"encoding/binary"
	"slices"

	"hardbars/score"
)

// Bars are the bars of a score in a form in which they can be compared.
//
// Bars are the same when all that sounds in them is, how long it is held and
// what is held over from the bar before included. How much of two bars is the
// same is counted by what is struck: hand, place in the bar and key.
type Bars struct {
	same   []int      // one number for all bars with the same notes
	shape  []int      // one number for all bars with the same notes when transposed
	rhythm []int      // one number for all bars that each hand strikes in the same rhythm
	low    []int      // the lowest key: bars of one shape are transposed by the difference
	struck [][]attack // by bar, in order
}

// attack is a key struck at a place in a bar.
type attack struct {
	place int // one number for each place and hand
	key   int
}

// barNote is what a note is to one bar.
type barNote struct {
	place
	held   bool // struck in an earlier bar
	key    int
	length score.Rat // within the bar
}

// place is where a hand strikes.
type place struct {
	at    score.Rat // from the start of the bar
	hand  score.Hand
	grace int
}

// NewBars reads what one hand plays in the bars of a score, or Both hands.
func NewBars(s *score.Score, hand score.Hand) *Bars {
	n := len(s.Bars)
	b := &Bars{make([]int, n), make([]int, n), make([]int, n), make([]int, n), make([][]attack, n)}
	places, texts := numbers[place]{}, numbers[string]{}
	var same, shape, rhythm []byte
	for bar, sounding := range notesByBar(s, hand) {
		b.low[bar] = lowest(sounding)
		length := s.Bars[bar].Length
		same, shape, rhythm = addRat(append(same[:0], 'n'), length), addRat(append(shape[:0], 's'), length), addRat(append(rhythm[:0], 'r'), length)
		last := attack{place: -1}
		for _, n := range sounding {
			same, shape = n.add(same, 0), n.add(shape, b.low[bar])
			a := attack{places.of(n.place), n.key}
			if n.held || a == last {
				continue
			}
			if a.place != last.place {
				rhythm = binary.AppendUvarint(rhythm, uint64(a.place))
			}
			b.struck[bar] = append(b.struck[bar], a)
			last = a
		}
		slices.SortFunc(b.struck[bar], attack.compare)
		b.same[bar], b.shape[bar], b.rhythm[bar] = texts.of(string(same)), texts.of(string(shape)), texts.of(string(rhythm))
	}
	return b
}

// Number is one number for all bars that are the same in every note.
func (b *Bars) Number(x int) int { return b.same[x] }

// Same reports whether two bars are the same in every note.
func (b *Bars) Same(x, y int) bool { return b.same[x] == b.same[y] }

// SameRhythm reports whether each hand strikes two bars in the same rhythm.
func (b *Bars) SameRhythm(x, y int) bool { return b.rhythm[x] == b.rhythm[y] }

// Empty reports whether nothing is struck in a bar.
func (b *Bars) Empty(x int) bool { return len(b.struck[x]) == 0 }

// Transposed reports whether bar y is bar x transposed, and how far: 0 where
// they are the same.
func (b *Bars) Transposed(x, y int) (semitones int, ok bool) {
	return b.low[y] - b.low[x], b.shape[x] == b.shape[y]
}

// Common counts the notes struck in bar x, transposed, that are struck in bar
// y as well.
func (b *Bars) Common(x, y, semitones int) int {
	count := 0
	for i, j := 0, 0; i < len(b.struck[x]) && j < len(b.struck[y]); {
		a := b.struck[x][i]
		a.key += semitones
		switch d := a.compare(b.struck[y][j]); {
		case d < 0:
			i++
		case d > 0:
			j++
		default:
			count, i, j = count+1, i+1, j+1
		}
	}
	return count
}

// Most is the number of notes struck in the fuller of two bars.
func (b *Bars) Most(x, y int) int { return max(len(b.struck[x]), len(b.struck[y])) }

// Distinct counts the bars that differ from each other.
func (b *Bars) Distinct() int {
	return len(slices.Compact(slices.Sorted(slices.Values(b.same))))
}

// notesByBar lists what sounds in each bar, by place and key.
func notesByBar(s *score.Score, hand score.Hand) [][]barNote {
	bars := make([][]barNote, len(s.Bars))
	for i := range s.Notes {
		n := &s.Notes[i]
		if hand != score.Both && n.Hand != hand {
			continue
		}
		for b := n.Bar; b == n.Bar || b < len(s.Bars) && s.Bars[b].Start.Less(n.End()); b++ {
			from := score.Max(n.Onset, s.Bars[b].Start)
			bars[b] = append(bars[b], barNote{
				place: place{from.Sub(s.Bars[b].Start), n.Hand, n.Grace}, held: b > n.Bar,
				key: n.Pitch.MIDI(), length: score.Min(n.End(), s.Bars[b].End()).Sub(from),
			})
		}
	}
	for _, notes := range bars {
		slices.SortFunc(notes, barNote.compare)
	}
	return bars
}

func (n barNote) compare(m barNote) int {
	if n.held != m.held {
		if n.held {
			return -1
		}
		return 1
	}
	return cmp.Or(n.at.Cmp(m.at), int(n.hand)-int(m.hand), n.grace-m.grace, n.key-m.key, n.length.Cmp(m.length))
}

func (a attack) compare(b attack) int { return cmp.Or(a.place-b.place, a.key-b.key) }

// lowest is the lowest key of some notes, 0 of none.
func lowest(notes []barNote) int {
	if len(notes) == 0 {
		return 0
	}
	return slices.MinFunc(notes, func(a, b barNote) int { return a.key - b.key }).key
}

// numbers gives out 0, 1, 2, … to what is new.
type numbers[K comparable] map[K]int

func (n numbers[K]) of(what K) int {
	number, known := n[what]
	if !known {
		number = len(n)
		n[what] = number
	}
	return number
}

// add writes a note as text, so that a list of notes can be a map key; its key
// is counted from another.
func (n barNote) add(text []byte, from int) []byte {
	held := uint64(0)
	if n.held {
		held = 1
	}
	text = addRat(addRat(text, n.at), n.length)
	text = binary.AppendUvarint(binary.AppendUvarint(text, uint64(n.hand)), held)
	return binary.AppendVarint(binary.AppendVarint(text, int64(n.grace)), int64(n.key-from))
}

func addRat(text []byte, r score.Rat) []byte {
	return binary.AppendVarint(binary.AppendVarint(text, r.Num()), r.Den())
}
