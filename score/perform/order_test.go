package perform

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
)

// page makes bars numbered from 1, one for each word: "." for a bar without
// signs, "|:" and ":|" for repeats, ":|3" for one played three times, "1" or
// "1,2" for an ending, and the names of jumps; several are joined by "+".
func page(text string) *score.Score {
	s := &score.Score{}
	for i, word := range strings.Fields(text) {
		b := score.Bar{Number: fmt.Sprint(i + 1), Index: i + 1, Start: score.Int(int64(i)), Length: score.Int(1)}
		for sign := range strings.SplitSeq(word, "+") {
			switch {
			case sign == ".":
			case sign == "|:":
				b.RepeatStart = true
			case strings.HasPrefix(sign, ":|"):
				b.RepeatEnd = 2
				fmt.Sscan(sign[2:], &b.RepeatEnd)
			case strings.ContainsAny(sign, "123456789"):
				b.Ending = sign
			default:
				b.Jumps = append(b.Jumps, strings.ReplaceAll(sign, "_", " "))
			}
		}
		s.Bars = append(s.Bars, b)
	}
	return s
}

// played lists the runs: "1-4 1-3 5-6".
func played(runs []Run) string {
	var all []string
	for _, p := range runs {
		all = append(all, fmt.Sprintf("%d-%d", p.First+1, p.Last+1))
	}
	return strings.Join(all, " ")
}

// The order of play by signs is as in any primer of notation; common practice.
func TestOrder(t *testing.T) {
	for _, c := range []struct{ name, page, want string }{
		{"nothing", "", ""},
		{"no signs", ". . . .", "1-4"},
		{"from the start", ". . :| .", "1-3 1-4"},
		{"between two signs", ". |: . :| .", "1-4 2-5"},
		{"three times", ". |: :|3 .", "1-3 2-3 2-4"},
		{"one bar", ". |:+:| .", "1-2 2-3"},
		{"two strains", ". :| |: :|", "1-2 1-4 3-4"},
		{"two endings", "|: . 1+:| 2 .", "1-3 1-2 4-5"},
		{"endings of several bars", "|: . 1 1+:| 2 2 .", "1-4 1-2 5-7"},
		{"an ending for two times", "|: . 1,2+:|3 3 .", "1-3 1-3 1-2 4-5"},
		{"three endings", "|: 1+:| 2+:|3 3 .", "1-2 1-1 3-3 1-1 4-5"},
		{"a first ending alone", "|: . 1+:| . .", "1-3 1-2 4-5"},
		{"a second ending alone", "|: :| 2 .", "1-2 1-4"},
		{"da capo", ". . . da_capo", "1-4 1-4"},
		{"da capo al fine", ". fine . da_capo", "1-4 1-2"},
		{"dal segno al fine", ". segno fine dal_segno", "1-4 2-3"},
		{"dal segno al coda", ". segno to_coda . dal_segno coda .", "1-5 2-3 6-7"},
		{"da capo al coda", ". to_coda . da_capo coda", "1-4 1-2 5-5"},
		{"no repeats after da capo", "|: :| |: 1+:| 2+fine . da_capo", "1-2 1-4 3-3 5-7 1-3 5-5"},
		{"a repeat and then da capo", ". fine |: :|+da_capo", "1-4 3-4 1-2"},
		{"da capo in the last ending", "|: fine 1+:| 2+da_capo", "1-3 1-2 4-4 1-2"},
		{"the last segno before the sign", "segno . segno . dal_segno .", "1-5 3-6"},
		{"a fine and a coda before any jump", ". fine to_coda . coda", "1-5"},
		{"fine at the end only", ". . fine", "1-3"},
	} {
		runs, warnings := Order(page(c.page))
		if got := played(runs); got != c.want || len(warnings) > 0 {
			t.Errorf("%s: %s is played %s, want %s, without warnings, but %v", c.name, c.page, got, c.want, warnings)
		}
	}
}

// What is not plain is repaired, and the warning names the bar.
func TestPlayOddSigns(t *testing.T) {
	for _, c := range []struct{ name, page, want, warning string }{
		{"never ended", ". |: . .", "1-4", "bar 2: a repeat begins here and no sign ends it"},
		{"one in another", "|: . |: :| .", "1-4 3-5", "bar 1: a repeat begins"},
		{"two ends", "|: :| . :| .", "1-2 1-4 3-5", "bar 4: no sign begins the repeat that ends here; taken to begin with bar 3"},
		{"endings without a repeat", "|: 1 2 .", "1-2 1-1 3-4", "bar 3: endings without a repeat sign"},
		{"a repeat at the last ending", "|: 1+:| 2+:|3 .", "1-2 1-1 3-4", "bar 3: the last ending has a repeat sign"},
		{"no segno", ". . dal_segno .", "1-3 1-4", "bar 3: dal segno, and no segno"},
		{"no coda", ". to_coda . da_capo .", "1-4 1-5", "bar 2: no coda follows"},
		{"music after the fine", "fine . da_capo . .", "1-3 1-1 4-5", "bar 1: the piece ends here by its signs, and bar 4 follows"},
		{"left out before the coda", ". to_coda da_capo . coda", "1-3 1-2 5-5", "bar 4: the signs leave this bar out"},
		{"several left out", ". to_coda da_capo . . coda", "1-3 1-2 6-6", "bar 4: the signs leave out bars 4 to 5"},
	} {
		runs, warnings := Order(page(c.page))
		if got := played(runs); got != c.want {
			t.Errorf("%s: %s is played %s, want %s", c.name, c.page, got, c.want)
		}
		if !slices.ContainsFunc(warnings, func(w score.Warning) bool { return strings.HasPrefix(w.String(), c.warning) }) {
			t.Errorf("%s: warnings %v, want %q", c.name, warnings, c.warning)
		}
	}
}

// TestPlayAnySigns: whatever the signs, play ends, each passage is a range of
// bars, a jump lies between two runs, and a bar that is not played is
// warned of.
func TestPlayAnySigns(t *testing.T) {
	signs := []string{".", ".", "|:", ":|", ":|3", "1", "2", "1,2", "3", "fine", "segno", "coda", "to_coda", "da_capo", "dal_segno"}
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 1))
		var words []string
		for range 1 + r.IntN(10) {
			words = append(words, signs[r.IntN(len(signs))]+"+"+signs[r.IntN(len(signs))])
		}
		s := page(strings.Join(words, " "))
		runs, warnings := Order(s)
		heard := make([]bool, len(s.Bars))
		for i, p := range runs {
			if p.First > p.Last || p.Last >= len(s.Bars) || i > 0 && p.First == runs[i-1].Last+1 {
				t.Fatalf("%v: runs %s", words, played(runs))
			}
			for bar := p.First; bar <= p.Last; bar++ {
				heard[bar] = true
			}
		}
		if runs[0].First != 0 && On(&s.Bars[0], 1) {
			t.Fatalf("%v: begins with %s", words, played(runs))
		}
		left := slices.ContainsFunc(warnings, func(w score.Warning) bool { return strings.Contains(w.Text, "leave") })
		if slices.Contains(heard, false) != left {
			t.Fatalf("%v: played %s, warnings %v", words, played(runs), warnings)
		}
	}
}
