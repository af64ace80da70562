package notation

import "hardbars/score"

// Span is a stretch of time: what a note, a chord or a rest takes up of a bar,
// from the start of the bar.
type Span struct{ At, Length score.Rat }

// End is where the span ends.
func (s Span) End() score.Rat { return s.At.Add(s.Length) }

// Spelled is one written note, chord or rest: a span, or a piece of one. The
// pieces of a note are tied.
type Spelled struct {
	Span
	Of    int   // the index of what it is a piece of
	Value Value // without a type where no value has the length
	Ratio Ratio
	// It is the first, or the last, of a tuplet.
	Begins, Ends bool
}

// Spell chooses the written values of a voice: spans that follow one another
// without a gap. Values with dots and tuplets are taken as they are usually
// written, and what has no value of its own is cut at the beats (common practice).
func Spell(voice []Span, time score.Time) []Spelled {
	var all []Spelled
	for from := 0; from < len(voice); {
		to := from + tupletFrom(voice[from:])
		in := plainest(voice[from:to])
		first := len(all)
		for i := from; i < to; i++ {
			for _, piece := range pieces(voice[i], in, time.Beat()) {
				v, _ := ValueOf(in.Written(piece.Length))
				all = append(all, Spelled{Span: piece, Of: i, Value: v, Ratio: in})
			}
		}
		if in != (Ratio{}) {
			all[first].Begins, all[len(all)-1].Ends = true, true
		}
		from = to
	}
	return all
}

// tupletFrom is how many spans make up the tuplet that begins a voice: up to
// where plain values can go on. It is 1 where there is none.
func tupletFrom(voice []Span) int {
	for i, s := range voice {
		if TupletPart(s.End()) == 1 {
			return i + 1
		}
	}
	return len(voice)
}

// mostInTuplet is more than any tuplet that is printed has.
const mostInTuplet = 1 << 10

// plainest is the tuplet in which some spans have the plainest values.
func plainest(group []Span) Ratio {
	actual := int64(1)
	for _, s := range group {
		actual = lcm(actual, lcm(TupletPart(s.At), TupletPart(s.Length)))
	}
	if actual == 1 || actual > mostInTuplet {
		return Ratio{}
	}
	var best Ratio
	least := 0
	for normal := actual - 1; normal > actual/2; normal-- {
		r := Ratio{actual, normal}
		if cost := plainness(group, r); best == (Ratio{}) || cost < least {
			best, least = r, cost
		}
	}
	return best
}

// plainness counts dots, and much more for what has no value of its own.
func plainness(group []Span, in Ratio) int {
	cost := 0
	for _, s := range group {
		v, ok := ValueOf(in.Written(s.Length))
		cost += v.Dots
		if !ok {
			cost += 10
		}
	}
	return cost
}

// pieces divides a span into writable values. What has a value of its own stays
// whole.
func pieces(s Span, in Ratio, beat score.Rat) []Span {
	if _, ok := ValueOf(in.Written(s.Length)); ok {
		return []Span{s}
	}
	first := largest(s.Length, in)
	if next := beat.Mul(score.Int(floor(s.At, beat) + 1)); next.Less(s.End()) && s.At.Div(beat).Den() != 1 {
		first = next.Sub(s.At)
	}
	if first.IsZero() {
		return []Span{s}
	}
	rest := Span{s.At.Add(first), s.Length.Sub(first)}
	return append(pieces(Span{s.At, first}, in, beat), pieces(rest, in, beat)...)
}

// largest is the longest undotted value that is shorter than a length; 0 where
// there is none.
func largest(length score.Rat, in Ratio) score.Rat {
	for size := score.Int(32); ; size = size.Div(score.Int(2)) {
		if _, ok := ValueOf(size); !ok {
			return score.Rat{}
		}
		if played := in.Played(size); played.Less(length) {
			return played
		}
	}
}

// Rests are the rests from one place in a bar to another, as they are usually
// cut: at the beats, halved below them, and in compound time by three (common
// practice).
func Rests(from, to score.Rat, time score.Time) []Span {
	var all []Span
	for beat := time.Beat(); from.Less(to); {
		beatEnd := beat.Mul(score.Int(floor(from, beat) + 1))
		end := score.Min(beatEnd, to)
		if TupletPart(from) == 1 && (TupletPart(to) == 1 || beatEnd.Cmp(to) <= 0) {
			end = from.Add(restFrom(from, to, beat))
		}
		all = append(all, Span{from, end.Sub(from)})
		from = end
	}
	return all
}

// restFrom is the longest rest that may begin at a place and goes no further
// than another.
func restFrom(from, to, beat score.Rat) score.Rat {
	size := score.Int(2)
	if beat.Num() == 3 {
		size = beat
	}
	most := to.Sub(from)
	for range 12 {
		if size.Cmp(most) <= 0 && from.Div(size).Den() == 1 {
			return size
		}
		if size.Num() == 3 {
			size = size.Div(score.Int(3))
		} else {
			size = size.Div(score.Int(2))
		}
	}
	return most
}

// floor is how often a positive unit goes into r, which is not negative.
func floor(r, unit score.Rat) int64 {
	n := r.Div(unit)
	return n.Num() / n.Den()
}

func lcm(a, b int64) int64 {
	x, y := a, b
	for y != 0 {
		x, y = y, x%y
	}
	return a / x * b
}
