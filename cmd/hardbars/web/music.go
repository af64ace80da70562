package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"strings"

	"hardbars/annotate/engrave"
	"hardbars/annotate/excerpt"
	"hardbars/annotate/progress"
	"hardbars/detect"
)

// picture is an SVG picture to stand in a page.
type picture = template.HTML

// The width of a picture, in millimetres: a phone's to a sheet's.
const usualWidth, leastWidth, mostWidth = 170, 60, 400

// engraved sets music as a picture.
func (s *Server) engraved(ctx context.Context, st *study, o engrave.Options, id, title, desc string) (picture, error) {
	if o.Width == 0 {
		o.Width = usualWidth
	}
	var b bytes.Buffer
	err := s.render(ctx, func() error {
		d, err := engrave.Set(st.music, o)
		if err != nil {
			return err
		}
		return d.SVG(&b, engrave.SVGOptions{ID: id, Title: title, Desc: desc})
	})
	return picture(b.String()), err
}

// stretch is what a request asks to see or hear: a place, or bars.
type stretch struct {
	spot        *detect.Spot // nil for bars
	first, last int          // indices into Score.Bars
	options     engrave.Options
}

// How many bars are engraved and told at once, and played.
const mostBars, mostPlayed = 64, 2000

// most is how many bars a request may ask for.
func most(r *http.Request) int {
	if strings.HasSuffix(r.URL.Path, "/notes.json") {
		return mostPlayed
	}
	return mostBars
}

func (st *study) stretch(r *http.Request) (*stretch, error) {
	q := r.URL.Query()
	if text := q.Get("place"); text != "" {
		sp, id, err := st.spot(text)
		if err != nil {
			return nil, err
		}
		if sp == nil {
			first, last := id.First-1, min(id.Last-1, id.First-2+most(r))
			o, _ := st.barsToEngrave(first, last)
			if p := st.passageOf(first, last); p != nil && id.Kind == progress.Bars && !strings.HasSuffix(r.URL.Path, "/notes.json") {
				o = fingered(excerpt.Passage(st.report, p))
				if q.Get("lines") == "1" {
					o = fingered(excerpt.Line(st.report, p))
				}
			}
			return &stretch{nil, first, last, o}, nil
		}
		e := excerpt.Hardest(st.whole, sp)
		if q.Get("whole") != "" {
			e = excerpt.Whole(st.whole, sp)
		}
		return &stretch{sp, e.First, min(e.Last, e.First+mostBars-1), fingered(e)}, nil
	}
	if q.Get("bars") == "" {
		return nil, status(http.StatusBadRequest, errors.New("say which place or bars, such as ?place=12-15-left-leap or ?bars=5-8"))
	}
	first, last, err := st.whole.BarRange(q.Get("bars"))
	if err != nil {
		return nil, status(http.StatusNotFound, err)
	}
	if last-first >= most(r) {
		return nil, status(http.StatusBadRequest, fmt.Errorf("these are %d bars: ask for at most %d", last-first+1, most(r)))
	}
	o, _ := st.barsToEngrave(first, last)
	return &stretch{nil, first, last, o}, nil
}

// barsToEngrave is how bars are set, so many of them as are set at once.
func (st *study) barsToEngrave(first, last int) (o engrave.Options, cut bool) {
	end := min(last, first+mostBars-1)
	bars := st.score.Bars
	return engrave.Options{From: bars[first].Start, To: bars[end].End()}, end < last
}

func (s *Server) music(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	what, err := st.stretch(r)
	if err != nil {
		return err
	}
	if text := r.URL.Query().Get("width"); text != "" {
		width, err := strconv.ParseFloat(text, 64)
		if err != nil || !(width >= leastWidth && width <= mostWidth) {
			return status(http.StatusBadRequest, fmt.Errorf("width %q: give millimetres, %d to %d", text, leastWidth, mostWidth))
		}
		what.options.Width = width
	}
	if text := r.URL.Query().Get("lines"); text != "" {
		lines, err := strconv.Atoi(text)
		if err != nil || lines < 1 {
			return status(http.StatusBadRequest, fmt.Errorf("lines %q: give a number from 1 on", text))
		}
		what.options.Systems = lines
	}
	title, desc := where(st.form.Range(what.first, what.last)), ""
	if what.spot != nil {
		desc = what.spot.Why
	}
	drawn, err := s.engraved(r.Context(), st, what.options, "music", title, desc)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, err = w.Write([]byte(drawn))
	return err
}

// fingered are the options of an excerpt with the fingers that a teacher would
// write into it.
func fingered(e excerpt.Excerpt) engrave.Options {
	o := e.Options()
	o.Picks.Fingers = e.Fingers(excerpt.KeyFingers)
	return o
}
