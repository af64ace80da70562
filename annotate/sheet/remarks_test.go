package sheet

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"hardbars/annotate/remarks"
	"hardbars/detect"
)

// said puts a page of remarks at the bars of a report.
func said(t *testing.T, r *detect.Report, page string) *remarks.Remarks {
	t.Helper()
	parsed, err := remarks.Parse([]byte(page))
	if err != nil {
		t.Fatal(err)
	}
	on, err := parsed.On(r)
	if err != nil {
		t.Fatal(err)
	}
	return on
}

// TestRemarksOnTheSheet: heading and paragraphs come before the list, a remark
// stands at the place that holds its bars, others in a list of their own.
func TestRemarksOnTheSheet(t *testing.T) {
	r := reportWith(24, place{1, 2, 2, 0}, place{0, 15, 15, 0})
	first, second := r.Spot("1"), r.Spot("2")
	on := said(t, r, fmt.Sprintf(`
for: Ida
from: Frau Lindner
Begin with the coda.
bar %s: at the first
bar %s %s: at the second
bars 1-24: nowhere in particular
add bar 20: added with love
`, r.Bars(first), r.Bars(second), second.Hand))
	text := wording(on.Report, Options{Paper: "a4", Remarks: on})
	at := -1
	for _, words := range []string{
		"Ida", "Frau Lindner", "Begin with the coda.", "The passages, in the order",
		"at the first", "at the second", "Added with love", "Remarks, bar by bar", "nowhere in particular",
	} {
		next := strings.LastIndex(text, words)
		if next <= at {
			t.Fatalf("%q is missing or not in its place:\n%s", words, text)
		}
		at = next
	}
	if strings.Contains(text, "0.0 ×") {
		t.Errorf("the sheet gives a figure for a place that nobody measured:\n%s", text)
	}
}

func TestSkippedOnTheSheet(t *testing.T) {
	r := reportWith(8, place{1, 2, 2, 0}, place{0, 5, 5, 0})
	on := said(t, r, "skip 1")
	text := wording(on.Report, Options{Paper: "a4", Remarks: on})
	want := fmt.Sprintf("Left out as the remarks ask: bar %s, %s.", r.Bars(r.Spot("1")), r.Spot("1").Hand.Name())
	if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
		t.Errorf("there is no %q:\n%s", want, text)
	}
}

// TestNoRemarkIsLost: whatever the report and however many the remarks, each
// word of them is on the sheet, within the margins.
func TestNoRemarkIsLost(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	everyCase(t, func(t *testing.T, r *detect.Report, o Options) {
		var page strings.Builder
		var want []string
		for i := range 12 {
			bars := len(r.Score.Bars)
			if bars == 0 || !plainlyNumbered(r) {
				break
			}
			first := random.IntN(bars)
			last := min(bars-1, first+random.IntN(4))
			word := fmt.Sprintf("remark%dremark", i)
			want = append(want, word)
			action := []string{"", "add "}[i%4/3]
			fmt.Fprintf(&page, "%sbars %s-%s %s: %s%s\n", action, r.Score.Bars[first].Number, r.Score.Bars[last].Number,
				[]string{"left", "right", "both"}[i%3], strings.Repeat("W", 200*(i%2))+" ", word)
		}
		fmt.Fprintf(&page, "\n%s\n", strings.Repeat("paragraph ", 900)+"theend")
		o.Remarks = said(t, r, page.String())
		text := wording(o.Remarks.Report, o)
		for _, word := range append(want, "theend") {
			if !strings.Contains(text, word) {
				t.Errorf("%q is not on the sheet", word)
			}
		}
		if !o.Full {
			checkLayout(t, frames[o.Paper], drawn(o.Remarks.Report, o))
		}
	})
}

// plainlyNumbered reports whether no two bars have the same number.
func plainlyNumbered(r *detect.Report) bool {
	seen := map[string]bool{}
	for _, b := range r.Score.Bars {
		if seen[b.Number] || strings.Trim(b.Number, "0123456789") != "" {
			return false
		}
		seen[b.Number] = true
	}
	return true
}
