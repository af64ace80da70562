package remarks

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// leaps is a piece with numbered bars in which the right hand leaps in some:
// the same leap in all of them.
func leaps(t testing.TB, numbers []string, leaping ...int) *detect.Report {
	t.Helper()
	var right, left []string
	for i := range numbers {
		right = append(right, "C5:4")
		if slices.Contains(leaping, i) {
			right[i] = "C4:1/2 C6:1/2 r:3"
		}
		left = append(left, "C3:4")
	}
	s := scoretest.Piece{
		Time: "4/4", QPM: 120,
		Right: []string{strings.Join(right, " | ")}, Left: []string{strings.Join(left, " | ")},
	}.Score(t)
	for i, n := range numbers {
		s.Bars[i].Number = n
	}
	return detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
}

func counted(n int) []string {
	var numbers []string
	for i := range n {
		numbers = append(numbers, fmt.Sprint(i+1))
	}
	return numbers
}

func mustPlace(t testing.TB, r *detect.Report, text string) *Remarks {
	t.Helper()
	on, err := mustParse(t, text).On(r)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return on
}

// TestBars: bars are those that are printed, and where a number is printed more
// than once the remark must say which.
func TestBars(t *testing.T) {
	// A pickup; bar 3 in two halves, as at a double bar within it; then a second piece from 1.
	numbers := []string{"0", "1", "2", "3", "3", "4", "1", "2", "3", "X1"}
	s := leaps(t, numbers).Score
	for _, c := range []struct {
		text        string
		first, last int
		err         string
	}{
		{"bar 0", 0, 0, ""},
		{"bar 4", 5, 5, ""},
		{"bar X1", 9, 9, ""},
		{"bar 3 (1)", 3, 4, ""},
		{"bar 3 (2)", 8, 8, ""},
		{"bars 2-4", 2, 5, ""},
		{"bars 0-4", 0, 5, ""},
		{"bars 1–3 (2)", 6, 8, ""},
		{"bars 4-2", 5, 7, ""},
		{"bar 1", 0, 0, "bar 1: the score prints these numbers 2 times: say which, from (1) to (2)"},
		{"bars 1-3", 0, 0, "bars 1-3: the score prints these numbers 2 times"},
		{"bar 3 (3)", 0, 0, "bar 3 (3): the score prints these numbers 2 times only"},
		{"bar 9", 0, 0, "bar 9: the score prints no such number; its bars are 0 to X1"},
		{"bars 4-9", 0, 0, "bars 4-9: the score prints no such number"},
		{"bars 4-0", 0, 0, "bars 4-0: bar 0 does not come after bar 4"},
	} {
		line := mustParse(t, c.text+": x").Remarks[0]
		first, last, err := line.Bars.in(s)
		if c.err != "" {
			if err == nil || !strings.HasPrefix(err.Error(), c.err) {
				t.Errorf("%s: error %v, want %q…", c.text, err, c.err)
			}
			continue
		}
		if err != nil || first != c.first || last != c.last {
			t.Errorf("%s: %d to %d, %v; want %d to %d", c.text, first, last, err, c.first, c.last)
		}
	}
}

// TestFor: remarks come by bar, for each hand those that concern it.
func TestFor(t *testing.T) {
	on := mustPlace(t, leaps(t, counted(9)), `
bar 7: last
bars 2-4 left: low
bar 3 right: 4 2 1
bar 5 right:
bar 3 both: together`)
	for _, c := range []struct {
		first, last int
		hand        score.Hand
		want        []string
	}{
		{0, 8, score.Both, []string{"bars 2–4, left hand: low", "bar 3, right hand: fingers 4 2 1", "bar 3: together", "bar 7: last"}},
		{2, 2, score.Right, []string{"bar 3, right hand: fingers 4 2 1", "bar 3: together"}},
		{3, 5, score.Left, []string{"bars 2–4, left hand: low"}},
		{3, 5, score.Right, nil},
		{6, 6, score.Left, []string{"bar 7: last"}},
	} {
		if got := on.Said(c.first, c.last, c.hand); !slices.Equal(got, c.want) {
			t.Errorf("bars of index %d to %d, %s: %q, want %q", c.first, c.last, c.hand, got, c.want)
		}
	}
}

func TestFingers(t *testing.T) {
	for text, want := range map[string]bool{
		"4 2 1": true, "5": true, "3-1 2": true, "1, 2, 5": true, "2-5-3": true,
		"try 2-5-3": false, "6 1": false, "12": false, "1 2 3 slowly": false, "": false,
	} {
		if got := fingers.MatchString(text); got != want {
			t.Errorf("%q is only fingers: %v, want %v", text, got, want)
		}
	}
}

// TestSkip: the spot goes, the others keep their names, and the strip keeps its
// shade.
func TestSkip(t *testing.T) {
	r := leaps(t, counted(12), 1, 5, 9)
	family := r.Families[0]
	if len(family.Spots) != 3 {
		t.Fatalf("the three leaps are not one family: %+v", r.Families)
	}
	before := r.Spot("1").FirstBar
	on := mustPlace(t, r, "skip "+family.LearnFirst)
	if on.Report.Spot(family.LearnFirst) != nil || len(on.Report.Spots) != len(r.Spots)-1 {
		t.Errorf("the spot is still there: %+v", on.Report.Spots)
	}
	if len(on.Skipped) != 1 || on.Skipped[0].ID != family.LearnFirst {
		t.Errorf("skipped: %+v", on.Skipped)
	}
	for _, sp := range on.Report.Spots {
		if old := r.Spot(sp.ID); old == nil || old.From != sp.From || old.Rank != sp.Rank {
			t.Errorf("spot %s is not what it was", sp.ID)
		}
	}
	if !slices.Equal(on.Report.BarDemand, r.BarDemand) {
		t.Error("the demand of the bars has changed")
	}
	checkFamilies(t, on.Report)
	if r.Spot("1") == nil || r.Spot("1").FirstBar != before || len(r.Families[0].Spots) != 3 {
		t.Error("the first report has changed")
	}
	rest := on.Report.Families[0]
	if want := "same as bar 6"; len(rest.Relations) != 1 || rest.Relations[0].Text != want {
		t.Errorf("relations %+v, want one %q", rest.Relations, want)
	}
	if on := mustPlace(t, r, "skip 1, 2, 3\nskip 3"); len(on.Report.Spots) != len(r.Spots)-3 || len(on.Report.Families) != len(r.Families)-1 {
		t.Errorf("a family of which all is skipped: %+v", on.Report.Families)
	}
}

// checkFamilies: families and spots of a report name each other.
func checkFamilies(t *testing.T, r *detect.Report) {
	t.Helper()
	share, members := 0.0, 0
	for _, f := range r.Families {
		share += f.Share
		members += len(f.Spots)
		if !slices.Contains(f.Spots, f.LearnFirst) || len(f.Relations) != len(f.Spots)-1 {
			t.Errorf("family %+v", f)
		}
		for _, id := range f.Spots {
			if sp := r.Spot(id); sp == nil || sp.Family != f.ID {
				t.Errorf("family %s names spot %s", f.ID, id)
			}
		}
	}
	if members != len(r.Spots) || share < 0.999 || share > 1.001 {
		t.Errorf("%d spots in families of %d, shares %g", len(r.Spots), members, share)
	}
}

// TestAdd: an added place has a name, bars, notes and a family of its own; its
// demand is that of what was found in these bars, and 0 where nothing was.
func TestAdd(t *testing.T) {
	r := leaps(t, counted(8), 2)
	on := mustPlace(t, r, "add bars 3-4 right: mind the thumb\nadd bar 7 both: breathe")
	checkFamilies(t, on.Report)
	if len(r.Spots) != len(on.Report.Spots)-2 || on.Report.Spot("1") == nil {
		t.Fatalf("spots: %+v", on.Report.Spots)
	}
	leap, first, second := r.Spot("1"), on.Report.Spot("R1"), on.Report.Spot("R2")
	if first.FirstBar != 2 || first.LastBar != 3 || first.Hand != score.Right || first.Label != "mind the thumb" {
		t.Errorf("R1: %+v", first)
	}
	if first.Demand != leap.Demand || first.Comfortable != leap.Comfortable || first.Target != 120 {
		t.Errorf("R1 asks %g, comfortable at %g of %g; want those of the leap in it", first.Demand, first.Comfortable, first.Target)
	}
	if n := len(first.Occurrences[0].Notes); n != 3 {
		t.Errorf("R1 has %d notes, not the right hand's 3", n)
	}
	if second.Demand != 0 || second.Comfortable != 0 || second.Target != 120 || len(second.Occurrences[0].Notes) != 2 {
		t.Errorf("R2: %+v", second)
	}
	if len(on.Added()) != 2 {
		t.Errorf("%d added", len(on.Added()))
	}
}

// TestOnErrors: what is not there is said with its line, all of it at once.
func TestOnErrors(t *testing.T) {
	_, err := mustParse(t, "bar 3: x\nbar 99: x\nskip 77\nadd bar 98: y\nadd bar 2:\nbar 97:").On(leaps(t, counted(8), 2))
	if err == nil {
		t.Fatal("no error")
	}
	lines := strings.Split(err.Error(), "\n")
	slices.Sort(lines)
	want := []string{
		"line 2: bar 99: the score prints no such number; its bars are 1 to 8",
		"line 3: skip 77: there is no hot spot with this number for this player; hardbars spots --all lists them",
		"line 4: add bar 98: the score prints no such number; its bars are 1 to 8",
		"line 5: add bar 2: say after the colon what is hard there",
		"line 6: bar 97: the score prints no such number; its bars are 1 to 8",
	}
	for i := range want {
		if i >= len(lines) || strings.Replace(lines[i], "add ", "", 1) != strings.Replace(want[i], "add ", "", 1) {
			t.Fatalf("got\n%s\nwant\n%s", strings.Join(lines, "\n"), strings.Join(want, "\n"))
		}
	}
}

// TestStart: a first page can be read, says nothing as it stands, and has a
// line for every hot spot, at its bars.
func TestStart(t *testing.T) {
	r := leaps(t, []string{"1", "2", "3", "4", "1", "2", "3", "4"}, 1, 5)
	r.Score.Title = "Arrows --> and <!-- more"
	page := mustParse(t, Start(r))
	on, err := page.On(r)
	if err != nil || !on.Empty() {
		t.Fatalf("%+v, %v", on, err)
	}
	if len(page.Remarks) != len(r.Spots) {
		t.Fatalf("%d lines for %d spots:\n%s", len(page.Remarks), len(r.Spots), Start(r))
	}
	for i, sp := range r.Spots {
		first, last, err := page.Remarks[i].Bars.in(r.Score)
		if err != nil || first != sp.FirstBar || last != sp.LastBar || page.Remarks[i].Hand != sp.Hand {
			t.Errorf("spot %s: the line %q, %v", sp.ID, page.Remarks[i], err)
		}
	}
}
