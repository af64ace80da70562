package remarks

import (
	"fmt"

	"hardbars/score"
)

// Bars are bars as they are printed in the score.
type Bars struct {
	From, To string // the same for one bar
	Time     int    // 2 for the second time that the score prints these numbers; 0 where it is not said
}

// String is the bars in the grammar: "bar 9", "bars 30-37", "bar 9 (2)".
func (b Bars) String() string {
	text := "bar " + b.From
	if b.From != b.To {
		text = "bars " + b.From + "-" + b.To
	}
	if b.Time > 0 {
		text += fmt.Sprintf(" (%d)", b.Time)
	}
	return text
}

// in finds the bars in a score, as indices into Score.Bars. Bars in a row that
// share a number, such as the two halves of a bar, are one.
func (b Bars) in(s *score.Score) (first, last int, err error) {
	found := b.all(s)
	switch {
	case len(s.Bars) == 0:
		return 0, 0, fmt.Errorf("%s: the score has no bars", b)
	case len(found) == 0 && (!printed(s, b.From) || !printed(s, b.To)):
		return 0, 0, fmt.Errorf("%s: the score prints no such number; its bars are %s to %s", b, s.Bars[0].Number, s.Bars[len(s.Bars)-1].Number)
	case len(found) == 0:
		return 0, 0, fmt.Errorf("%s: bar %[2]s does not come after bar %[3]s", b, b.To, b.From)
	case b.Time > len(found):
		return 0, 0, fmt.Errorf("%s: the score prints these numbers %d times only", b, len(found))
	case b.Time == 0 && len(found) > 1:
		return 0, 0, fmt.Errorf("%s: the score prints these numbers %d times: say which, from (1) to (%d), after the bars", b, len(found), len(found))
	}
	run := found[max(b.Time, 1)-1]
	return run[0], run[1], nil
}

// all are the places where the bars are printed: from each first bar to the
// next last one, no other first bar between.
func (b Bars) all(s *score.Score) [][2]int {
	var found [][2]int
	open := -1
	for i, bar := range s.Bars {
		if bar.Number == b.From && (i == 0 || s.Bars[i-1].Number != b.From) {
			open = i
		}
		if bar.Number == b.To && open >= 0 && (i+1 == len(s.Bars) || s.Bars[i+1].Number != b.To) {
			found = append(found, [2]int{open, i})
			open = -1
		}
	}
	return found
}

func printed(s *score.Score, number string) bool {
	for _, bar := range s.Bars {
		if bar.Number == number {
			return true
		}
	}
	return false
}

// named names some bars of a score, and which they are where the score prints
// their numbers more than once.
func named(s *score.Score, first, last int) Bars {
	b := Bars{From: s.Bars[first].Number, To: s.Bars[last].Number}
	if all := b.all(s); len(all) > 1 {
		for i, run := range all {
			if run[0] <= first && last <= run[1] {
				b.Time = i + 1
			}
		}
	}
	return b
}
