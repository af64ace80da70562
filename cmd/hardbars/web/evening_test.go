package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// One evening has the pieces on the stand and no others, within its minutes,
// and Done there is a line in the log of the piece.
func TestEveningOverAllPieces(t *testing.T) {
	b := open(t)
	if page := b.page("/tonight"); !strings.Contains(page, "There is no piece yet") {
		t.Error("an empty shelf says nothing")
	}
	var ids []string
	for _, name := range []string{"cross-rhythm.musicxml", "leap.musicxml", "octave-run.musicxml", "fast-run.musicxml"} {
		ids = append(ids, b.drop(name, testScore(t, name)).Piece)
	}
	b.post("/hands", url.Values{"minutes": {"24"}})
	page := b.page("/tonight")
	if n := strings.Count(page, `class="done"`); n != 0 {
		t.Errorf("%d items are done", n)
	}
	for i, id := range ids {
		on := strings.Contains(page, "/pieces/"+id)
		if want := i < fewOnStand; on != want {
			t.Errorf("piece %d is on the page: %v, want %v", i, on, want)
		}
	}
	var minutes int
	for _, part := range strings.Split(page, "<strong>")[1:] {
		var n int
		if _, err := fmt.Sscanf(part, "%d min", &n); err == nil {
			minutes += n
		}
	}
	if minutes < 12 || minutes > 24+restLength {
		t.Errorf("%d minutes of 24", minutes)
	}
	_, form, _ := strings.Cut(page, `class="went" method="post" action="`)
	action, form, _ := strings.Cut(form, `"`)
	_, form, _ = strings.Cut(form, `name="item" value="`)
	key, _, _ := strings.Cut(form, `"`)
	if w := b.post(action, url.Values{"item": {key}, "minutes": {"3"}, "from": {"/tonight"}}); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/tonight" {
		t.Fatalf("%d to %s", w.Code, w.Header().Get("Location"))
	}
	if page := b.page("/tonight"); strings.Count(page, `class="done"`) != 1 || !strings.Contains(page, "3 minutes logged so far") {
		t.Error("what is done is not shown as done")
	}
	b.post("/pieces/"+ids[0]+"/stand", url.Values{"on": {"no"}})
	if strings.Contains(b.page("/tonight"), "/pieces/"+ids[0]) {
		t.Error("off the stand, the piece is still on the page")
	}
}

func TestSharedMinutes(t *testing.T) {
	for _, c := range []struct {
		weights []float64
		want    string
	}{
		{[]float64{1, 1}, "[15 15]"}, {[]float64{2, 1}, "[20 10]"}, {[]float64{10, 1}, "[30 0]"}, {[]float64{0, 0}, "[0 0]"}, {[]float64{4, 3, 2, 0}, "[13 10 6 0]"},
	} {
		var all []pieceEvening
		for _, w := range c.weights {
			all = append(all, pieceEvening{weight: w})
		}
		var got []int
		for _, e := range shared(all, 30) {
			got = append(got, e.minutes)
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%v: %v, want %s", c.weights, got, c.want)
		}
	}
}

// A break comes before what would be more than 25 minutes without one.
func TestRests(t *testing.T) {
	item := func(minutes int) itemView { return itemView{Key: "x", Minutes: minutes} }
	var got []int
	for _, it := range withRests([]itemView{item(10), item(10), item(5), item(1), {Minutes: 4}, item(25), item(40)}) {
		got = append(got, it.Minutes)
	}
	if want := "[10 10 5 3 1 4 25 3 40]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// What is taken off the shelf stays in the bin over any number of pages, until
// that is emptied, which asks once more.
func TestBin(t *testing.T) {
	b, id := onShelf(t)
	b.post("/pieces/"+id+"/remove", nil)
	for range 2 {
		if !strings.Contains(b.page("/bin"), "/trash/"+id+"/restore") || !strings.Contains(b.page("/"), `href="/bin"`) {
			t.Fatal("there is no way to the bin, or out of it")
		}
	}
	b.post("/bin/empty", nil)
	if !strings.Contains(b.page("/bin?empty=ask"), "for good") {
		t.Error("the bin is not asked about")
	}
	if w := b.post("/trash/"+id+"/restore", nil); w.Code != http.StatusSeeOther {
		t.Errorf("%d: one click emptied the bin", w.Code)
	}
	b.post("/pieces/"+id+"/remove", nil)
	b.post("/bin/empty", url.Values{"sure": {"yes"}})
	if w := b.post("/trash/"+id+"/restore", nil); w.Code != http.StatusConflict {
		t.Errorf("out of an emptied bin: %d", w.Code)
	}
}

func TestShelfOfMany(t *testing.T) {
	b := open(t)
	for i, title := range []string{"Alder", "Birch", "Cedar"} {
		data := bytes.ReplaceAll(testScore(t, "leap.musicxml"), []byte("</work-title>"), fmt.Appendf(nil, " %s</work-title>", title))
		if f := b.drop(fmt.Sprintf("score-%d.xml", 9-i), data); f.Error != "" {
			t.Fatal(f.Error)
		}
	}
	order := func(query string) string {
		page, names := b.page("/?"+query), ""
		_, page, _ = strings.Cut(page, `<ul class="shelf">`)
		for at := range page {
			for _, title := range []string{"Alder</a>", "Birch</a>", "Cedar</a>"} {
				if strings.HasPrefix(page[at:], title) {
					names += title[:1]
				}
			}
		}
		return names
	}
	for query, want := range map[string]string{"sort=title": "ABC", "find=birch": "B", "find=BIR+score-8": "B", "find=birch+alder": "", "find=score-9": "A"} {
		if got := order(query); got != want {
			t.Errorf("%s: %s, want %s", query, got, want)
		}
	}
}

// The example is there for the first visit, and is a piece like any other.
func TestExample(t *testing.T) {
	b := open(t)
	if !strings.Contains(b.page("/"), `action="/example"`) {
		t.Error("an empty shelf offers no example")
	}
	w := b.post("/example", nil)
	page := b.page(w.Header().Get("Location"))
	for _, want := range []string{"Learn these first", `class="verdict"`, "lines=1", "take/study.pdf"} {
		if !strings.Contains(page, want) {
			t.Errorf("the example's page has no %q", want)
		}
	}
	if strings.Contains(b.page("/"), `action="/example"`) {
		t.Error("the example is offered beside pieces")
	}
}

// The places of a piece, by hand, kind and bars.
func TestPlacesByFilter(t *testing.T) {
	b, id := onShelf(t)
	count := func(query string) int { return strings.Count(b.page("/pieces/"+id+"/places?"+query), `class="why"`) }
	all := count("")
	if right, left, both := count("hand=right"), count("hand=left"), count("hand=both"); all == 0 || right+left+both != all {
		t.Errorf("%d places: %d right, %d left, %d both", all, right, left, both)
	}
	if n := count("kind=cross-rhythm"); n == 0 || n > all {
		t.Errorf("%d cross-rhythms of %d places", n, all)
	}
	if n := count("bars=9"); n == 0 || n >= all {
		t.Errorf("%d places in bar 9 of %d", n, all)
	}
	if w := b.get("/pieces/" + id + "/places?bars=99"); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `value="99"`) {
		t.Errorf("bars that are not there: %d", w.Code)
	}
}
