package sheet

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"hardbars/annotate/plan"
	"hardbars/detect"
	"hardbars/score"
)

func makePlan(t *testing.T, r *detect.Report, minutes, days int) *plan.Plan {
	t.Helper()
	start := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)
	p, err := plan.Make(r, plan.Options{
		Minutes: minutes, Days: days, Start: start, End: start.AddDate(0, 0, 27),
		Remarks: func(first, _ int, _ score.Hand) []string {
			if first%3 == 0 {
				return []string{strings.Repeat("A long remark of the teacher's. ", 1+first%9)}
			}
			return nil
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// drawnPlan is a plan's own PDF as marks, one list a page.
func drawnPlan(p *plan.Plan, f frame) [][]mark {
	c := &recorder{paper: paper{newDocument(f, p.Report, "practice plan")}}
	return c.draw(f, p.Report, planPages(c, f, p))
}

// TestPlanLayout: neither a plan by itself nor one on the sheet is drawn outside
// the margins or with text over another, and every item has a box.
func TestPlanLayout(t *testing.T) {
	for name, r := range hardCases() {
		for _, minutes := range []int{5, 30, 240} {
			t.Run(fmt.Sprintf("%s/%d minutes", name, minutes), func(t *testing.T) {
				f, p := frames["letter"], makePlan(t, r, minutes, 6)
				pages := drawnPlan(p, f)
				checkLayout(t, f, pages)
				checkLayout(t, f, drawn(r, Options{Paper: "letter", Plan: p}))
				items, boxes := 0, 0
				for _, d := range p.Days {
					items += len(d.Items)
				}
				for _, m := range slices.Concat(pages...) {
					if m.words == "" && math.Hypot(m.right-m.left-tickBox, m.bottom-m.top-tickBox) < 1e-9 {
						boxes++
					}
				}
				if boxes != items {
					t.Errorf("%d boxes for %d items", boxes, items)
				}
			})
		}
	}
}

// The sheet has every day of the plan after its own pages, and the plan by
// itself tells how to begin.
func TestPlanWords(t *testing.T) {
	r := usual()
	p := makePlan(t, r, 30, 5)
	sheet := wording(r, Options{Paper: "a4", Plan: p})
	var own strings.Builder
	for _, page := range drawnPlan(p, frames["a4"]) {
		for _, m := range page {
			fmt.Fprintln(&own, m.words)
		}
	}
	for _, d := range p.Days {
		for _, text := range []string{sheet, own.String()} {
			if date := d.Date.Format("Monday 2 January"); !strings.Contains(text, date) {
				t.Errorf("%s is missing", date)
			}
		}
	}
	how := p.Days[0].Items[0].How
	begin := strings.Join(strings.Fields(how)[:4], " ")
	if how == "" || !strings.Contains(own.String(), begin) {
		t.Errorf("%q is missing", begin)
	}
	if len(drawn(r, Options{Paper: "a4", Plan: p})) <= len(drawn(r, a4)) {
		t.Error("the plan has no page of its own")
	}
}

func TestWritePlan(t *testing.T) {
	p := makePlan(t, usual(), 30, 5)
	var a, b bytes.Buffer
	if err := WritePlan(&a, p, "a4"); err != nil {
		t.Fatal(err)
	}
	if err := WritePlan(&b, p, "a4"); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Errorf("written twice, the bytes differ: %v", err)
	}
	if err := WritePlan(&a, p, "foolscap"); err == nil {
		t.Error("a plan on foolscap")
	}
}
