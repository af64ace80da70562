package web

import (
	"regexp"
	"strings"
	"testing"
)

// Two days at half and at all of the tempo to reach: worked by hand, half is
// 40 above the ground of 100, all of it 80. A day without a tempo has no point.
func TestCurve(t *testing.T) {
	days := []dayView{{Date: "1 May", Share: 0.5}, {Date: "2 May"}, {Date: "3 May", Share: 1}}
	got := curve("Bar 9", days)
	if got == nil {
		t.Fatal("no curve for two days with a tempo")
	}
	if want := "0.0,60.0 100.0,20.0"; got.Points != want {
		t.Errorf("points %q, want %q", got.Points, want)
	}
	if want := "Bar 9: from 50 % of the tempo to reach on 1 May to 100 % on 3 May."; got.Sentence != want {
		t.Errorf("sentence %q, want %q", got.Sentence, want)
	}
	if curve("Bar 9", days[:2]) != nil {
		t.Error("a curve for one day with a tempo")
	}
}

var (
	control = regexp.MustCompile(`<(?:input|select|textarea)\b[^>]*>`)
	labels  = regexp.MustCompile(`(?s)<label>.*?</label>`)
	button  = regexp.MustCompile(`(?s)<button\b([^>]*)>(.*?)</button>`)
	anyID   = regexp.MustCompile(`\sid="([^"]*)"`)
	idRef   = regexp.MustCompile(`\s(?:for|aria-labelledby|aria-describedby)="([^"]*)"`)
)

// Every control of every page has a name for a screen reader, every name that
// is pointed to is there, and no two things on a page share one.
// Source: WCAG 2.2, success criterion 4.1.2; HTML Living Standard, 3.2.6.
func TestControlsHaveNames(t *testing.T) {
	b, id := onShelf(t)
	for _, path := range []string{"/", "/pieces/" + id, place(b, id), "/pieces/" + id + "/settings", "/pieces/" + id + "/places", "/pieces/" + id + "/places/3-9-both-bars", "/hands", "/tonight", "/bin", "/pieces/" + id + "/tonight", "/pieces/" + id + "/remarks"} {
		page := b.page(path)
		ids := map[string]bool{}
		for _, m := range anyID.FindAllStringSubmatch(page, -1) {
			if ids[m[1]] {
				t.Errorf("%s: two things have the id %q", path, m[1])
			}
			ids[m[1]] = true
		}
		for _, m := range idRef.FindAllStringSubmatch(page, -1) {
			for _, ref := range strings.Fields(m[1]) {
				if !ids[ref] {
					t.Errorf("%s: nothing has the id %q", path, ref)
				}
			}
		}
		for _, c := range control.FindAllString(labels.ReplaceAllString(page, ""), -1) {
			own := anyID.FindStringSubmatch(c)
			if !strings.Contains(c, `type="hidden"`) && (own == nil || !strings.Contains(page, `for="`+own[1]+`"`)) {
				t.Errorf("%s: no label for %s", path, c)
			}
		}
		for _, m := range button.FindAllStringSubmatch(page, -1) {
			if strings.TrimSpace(m[2]) == "" && !strings.Contains(m[1], "aria-label=") {
				t.Errorf("%s: a button without a name: %s", path, m[0])
			}
		}
		if strings.Count(page, "<h1") != 1 || strings.Count(page, "<script") != strings.Count(page, "<script type=\"module\" src=") {
			t.Errorf("%s: not one heading, or a script within the page", path)
		}
	}
}
