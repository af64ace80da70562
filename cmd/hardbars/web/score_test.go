package web

import (
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"hardbars/annotate/engrave"
)

var (
	lineSource = regexp.MustCompile(`data-source="([^"]+)" data-first="(\d+)" data-last="(\d+)"`)
	barRect    = regexp.MustCompile(`<rect class="bar" data-index="(\d+)" data-bar="([^"]*)" x="([-\d.]+)" y="0" width="([\d.]+)"`)
)

// The whole score is on the page, line by line at any width: every bar once and
// in order, every head within its own bar, and each passage of the shortlist
// shaded from its first bar to its last.
func TestWholeScore(t *testing.T) {
	b := open(t)
	id := b.drop("barcarolle.musicxml", testScore(t, "lantern-barcarolle.musicxml")).Piece
	st, err := b.server.study(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range []float64{80, 170, 300} {
		next, numbers := 1, 0
		lines := lineSource.FindAllStringSubmatch(b.page(fmt.Sprintf("/pieces/%s/score?width=%g", id, width)), -1)
		for _, line := range lines {
			svg := b.page(line[1])
			for _, bar := range barRect.FindAllStringSubmatch(svg, -1) {
				if bar[1] != strconv.Itoa(next) || bar[2] != st.score.Bars[next-1].Number {
					t.Fatalf("width %g: bar %s (%s) where %d belongs", width, bar[1], bar[2], next)
				}
				next++
			}
			if line[3] != strconv.Itoa(next-1) {
				t.Errorf("width %g: a line says that it ends with bar %s, not %d", width, line[3], next-1)
			}
			numbers += strings.Count(svg, "passage-number")
		}
		if next != len(st.score.Bars)+1 || len(lines) < 3 {
			t.Errorf("width %g: %d bars of %d on %d lines", width, next-1, len(st.score.Bars), len(lines))
		}
		if want := len(st.passages()); numbers != want {
			t.Errorf("width %g: %d passages have their number, of %d", width, numbers, want)
		}
		k, err := b.server.whole(t.Context(), st, width)
		if err != nil {
			t.Fatal(err)
		}
		for i := range k.drawing.Systems {
			part := k.drawing.System(i)
			first, last := st.score.BarAt(part.Systems[0].From), st.score.BarEnding(part.Systems[0].To)
			bars := spans(part, st.music, first, last)
			for _, it := range part.Items {
				if it.Role != engrave.RoleHead {
					continue
				}
				bar := bars[st.music.Chords[it.Chord].Bar-first]
				if it.Box.Left < bar.left || it.Box.Right > bar.right {
					t.Errorf("width %g, line %d: a head from %.1f to %.1f is not in its bar, %.1f to %.1f", width, i+1, it.Box.Left, it.Box.Right, bar.left, bar.right)
				}
			}
		}
	}
	for path, want := range map[string]int{"score?width=9": 400, "score?width=x": 400, "score/0": 404, "score/999": 404, "score/x": 404} {
		if w := b.get("/pieces/" + id + "/" + path); w.Code != want {
			t.Errorf("%s: %d, want %d", path, w.Code, want)
		}
	}
}

// Every head of the score has its name: as many as there are printed, and the
// first of the piece, written as B flat 4 in the right hand.
func TestHeadsHaveNames(t *testing.T) {
	b := open(t)
	id := b.drop("barcarolle.musicxml", testScore(t, "lantern-barcarolle.musicxml")).Piece
	svg := b.page("/pieces/" + id + "/score/1")
	if heads, names := strings.Count(svg, `class="head" data-note=`), strings.Count(svg, "data-name="); heads == 0 || names != heads {
		t.Errorf("%d of %d heads have a name", names, heads)
	}
	if _, after, _ := strings.Cut(svg, `data-name="`); !strings.HasPrefix(after, "B♭4, right hand") {
		t.Errorf("the first is %.30q", after)
	}
}

// Pages are packed for those who can unpack them, and no others; what is taken
// away keeps its bytes.
func TestSqueezed(t *testing.T) {
	b, id := onShelf(t)
	for path, packed := range map[string]bool{"/pieces/" + id: true, "/assets/page.css": true, "/pieces/" + id + "/notes.json?bars=9": true, "/pieces/" + id + "/take/marked.musicxml": false} {
		plain := b.page(path)
		r := request(http.MethodGet, path, nil)
		r.Header.Set("Accept-Encoding", "gzip")
		w := b.send(r)
		if got := w.Header().Get("Content-Encoding") == "gzip"; got != packed {
			t.Errorf("%s: packed %v, want %v", path, got, packed)
		}
		body := w.Body.String()
		if packed {
			unpacked, err := gzip.NewReader(w.Body)
			if err != nil {
				t.Fatal(err)
			}
			data, err := io.ReadAll(unpacked)
			if err != nil {
				t.Errorf("%s: %v", path, err)
			}
			body = string(data)
		}
		if body != plain {
			t.Errorf("%s: %d bytes, plain %d", path, len(body), len(plain))
		}
	}
}

// Bar 9 in words, against what the score was written as: 11 over 6 from the
// dotted quarter on.
func TestABarInWords(t *testing.T) {
	b, id := onShelf(t)
	words := b.page("/pieces/" + id + "/words.json?place=9-9-both-bars")
	if !strings.Contains(words, `"Bar 9, right hand: `) || !strings.Contains(words, "left hand: ") || strings.Count(words, ", ") < 30 {
		t.Errorf("%s", words)
	}
	if w := b.get("/pieces/" + id + "/words.json?place=900-900-both-bars"); w.Code != http.StatusNotFound {
		t.Errorf("%d", w.Code)
	}
}
