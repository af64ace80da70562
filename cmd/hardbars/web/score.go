package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"io"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"hardbars/annotate/engrave"
	"hardbars/score"
	"hardbars/score/notation"
)

// setting is a whole piece set for one width.
type setting struct {
	id      string
	width   float64
	drawing *engrave.Drawing
}

// settings are the settings used last, the latest first.
type settingsKept struct {
	mu    sync.Mutex
	kept  []*setting
	width float64 // that was asked for last
}

// mostSet is how many settings are kept; one of 500 bars takes some 20 MB.
const mostSet = 4

// whole sets a whole piece for a width in millimetres, or looks it up.
func (s *Server) whole(ctx context.Context, st *study, width float64) (*setting, error) {
	s.set.mu.Lock()
	defer s.set.mu.Unlock()
	s.set.width = width
	if i := slices.IndexFunc(s.set.kept, func(k *setting) bool { return k.id == st.piece.ID && k.width == width }); i >= 0 {
		found := s.set.kept[i]
		s.set.kept = slices.Insert(slices.Delete(s.set.kept, i, i+1), 0, found)
		return found, nil
	}
	k := &setting{id: st.piece.ID, width: width}
	err := s.render(ctx, func() (err error) {
		k.drawing, err = engrave.Set(st.music, engrave.Options{To: end(st.score), Width: width})
		return err
	})
	if err != nil {
		return nil, err
	}
	s.set.kept = slices.Insert(s.set.kept, 0, k)
	s.set.kept = s.set.kept[:min(len(s.set.kept), mostSet)]
	return k, nil
}

func end(s *score.Score) score.Rat {
	if len(s.Bars) == 0 {
		return score.Rat{}
	}
	return s.Bars[len(s.Bars)-1].End()
}

// warm sets a piece for the width that was asked for last, before its page asks.
func (s *Server) warm(st *study) {
	s.set.mu.Lock()
	width := s.set.width
	s.set.mu.Unlock()
	if width > 0 {
		go guardedly(func() error {
			_, err := s.whole(context.Background(), st, width)
			return err
		})
	}
}

// systemView is one line of the score, still to be fetched.
type systemView struct {
	Number        int
	Width, Height int // of its picture, in tenths of a millimetre
	First, Last   int // bars, counted from 1
	Words         string
	Source        string
}

// scoreView is the score, line by line.
type scoreView struct {
	Piece   *Piece
	Systems []systemView
}

// showScore lists the lines of the whole score for a width; each is fetched as
// it comes into sight.
func (s *Server) showScore(w http.ResponseWriter, r *http.Request) error {
	st, k, err := s.wholeFor(r)
	if err != nil {
		return err
	}
	v := scoreView{Piece: st.piece}
	for i, extent := range k.drawing.Systems {
		part := extent.Bottom - extent.Top + 3 // and the white around it, as Drawing.System has it
		first, last := st.score.BarAt(extent.From), st.score.BarEnding(extent.To)
		v.Systems = append(v.Systems, systemView{
			Number: i + 1, Width: int(10 * k.width), Height: int(math.Ceil(10 * part)), First: first + 1, Last: last + 1, Words: where(st.form.Range(first, last)),
			Source: fmt.Sprintf("/pieces/%s/score/%d?width=%g", st.piece.ID, i+1, k.width),
		})
	}
	var body bytes.Buffer
	if err := templates.ExecuteTemplate(&body, "systems", v); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, err = w.Write(body.Bytes())
	return err
}

func (s *Server) wholeFor(r *http.Request) (*study, *setting, error) {
	width := float64(usualWidth)
	if text := r.URL.Query().Get("width"); text != "" {
		var err error
		width, err = strconv.ParseFloat(text, 64)
		if err != nil || !(width >= leastWidth && width <= mostWidth) {
			return nil, nil, status(http.StatusBadRequest, fmt.Errorf("width %q: give millimetres, %d to %d", text, leastWidth, mostWidth))
		}
	}
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return nil, nil, err
	}
	k, err := s.whole(r.Context(), st, math.Round(width))
	return st, k, err
}

// showSystem is one line of the score as a picture, with its bars and passages
// to be tapped and seen.
func (s *Server) showSystem(w http.ResponseWriter, r *http.Request) error {
	st, k, err := s.wholeFor(r)
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(r.PathValue("system"))
	if err != nil || n < 1 || n > len(k.drawing.Systems) {
		return status(http.StatusNotFound, errors.New("the score has no such line at this width; load the page again"))
	}
	part := k.drawing.System(n - 1)
	extent := part.Systems[0]
	first, last := st.score.BarAt(extent.From), st.score.BarEnding(extent.To)
	var body bytes.Buffer
	err = part.SVG(&body, engrave.SVGOptions{ID: fmt.Sprintf("line-%d", n), Title: where(st.form.Range(first, last))})
	if err != nil {
		return err
	}
	drawn := strings.TrimSuffix(strings.TrimSpace(body.String()), "</svg>")
	open, marks, _ := strings.Cut(drawn, "<defs>")
	w.Header().Set("Content-Type", "image/svg+xml")
	marks = st.named(marks)
	_, err = io.WriteString(w, open+st.shades(part, first, last)+"<defs>"+marks+st.barsOver(part, first, last)+"</svg>")
	return err
}

var headOf = regexp.MustCompile(`class="head" data-note="(\d+)"`)

// named gives each head of a picture its name, for the pointer: "E♭5, right hand".
func (st *study) named(marks string) string {
	names := map[string]string{}
	for i := range st.score.Notes {
		n := &st.score.Notes[i]
		for _, h := range n.Heads {
			names[strconv.Itoa(h.ID)] = n.Pitch.Pretty() + ", " + n.Hand.Name()
		}
	}
	return headOf.ReplaceAllStringFunc(marks, func(head string) string {
		if name := names[headOf.FindStringSubmatch(head)[1]]; name != "" {
			return head + ` data-name="` + template.HTMLEscapeString(name) + `"`
		}
		return head
	})
}

// span is where a bar lies on its line, in millimetres.
type span struct{ left, right float64 }

// spans are the bars of a line. Between two bars is the barline that lies
// between what is in them, or where there is none the middle.
func spans(part *engrave.Drawing, music *notation.Score, first, last int) []span {
	ink := make([]span, last-first+1)
	for i := range ink {
		ink[i] = span{math.Inf(1), math.Inf(-1)}
	}
	var barlines []float64
	left, right := math.Inf(1), 0.0
	for _, it := range part.Items {
		switch {
		case it.Role == engrave.RoleBarline:
			barlines = append(barlines, (it.Box.Left+it.Box.Right)/2)
		case it.Role == engrave.RoleStaff:
			left, right = min(left, it.Box.Left), max(right, it.Box.Right)
		}
		if it.Chord < 0 || it.Role != engrave.RoleHead && it.Role != engrave.RoleRest {
			continue
		}
		if i := music.Chords[it.Chord].Bar - first; i >= 0 && i < len(ink) {
			ink[i].left, ink[i].right = min(ink[i].left, it.Box.Left), max(ink[i].right, it.Box.Right)
		}
	}
	all := make([]span, len(ink))
	edge := left
	for i := range ink {
		next := right
		if i+1 < len(ink) {
			next = (ink[i].right + ink[i+1].left) / 2
			if math.IsInf(next, 0) || math.IsNaN(next) {
				next = edge + (right-edge)/float64(len(ink)-i)
			}
			for _, x := range barlines {
				if x > ink[i].right && x < ink[i+1].left {
					next = x
				}
			}
		}
		all[i] = span{edge, next}
		edge = next
	}
	return all
}

// shades are the passages of the shortlist behind a line, with their numbers.
func (st *study) shades(part *engrave.Drawing, first, last int) string {
	bars := spans(part, st.music, first, last)
	var b strings.Builder
	for _, p := range st.report.Passages {
		from, to := max(p.First, first), min(p.Last, last)
		if !p.Shortlist || from > to {
			continue
		}
		left, right := bars[from-first].left, bars[to-first].right
		fmt.Fprintf(&b, `<rect class="passage" x="%.2f" y="0" width="%.2f" height="%.2f"/>`, left, right-left, part.Height)
		if from == p.First {
			fmt.Fprintf(&b, `<text class="passage-number" x="%.2f" y="3.2" font-size="3.2" aria-hidden="true">%d</text>`, left+4, p.Order)
		}
	}
	return b.String()
}

// barsOver are the bars of a line, over it, to be tapped.
func (st *study) barsOver(part *engrave.Drawing, first, last int) string {
	var b strings.Builder
	for i, bar := range spans(part, st.music, first, last) {
		fmt.Fprintf(&b, `<rect class="bar" data-index="%d" data-bar="%s" x="%.2f" y="0" width="%.2f" height="%.2f" fill="none" pointer-events="all"/>`,
			first+i+1, template.HTMLEscapeString(st.score.Bars[first+i].Number), bar.left, max(0, bar.right-bar.left), part.Height)
	}
	return b.String()
}

// readBar tells a bar in words, for those who hear the page: hand by hand what
// is struck, and how long it is.
func (st *study) readBar(bar int) string {
	text := fmt.Sprintf("Bar %s", st.score.Bars[bar].Number)
	for _, hand := range []score.Hand{score.Right, score.Left} {
		if words := st.readHand(bar, hand); words != "" {
			text += fmt.Sprintf(", %s: %s", hand.Name(), words)
		}
	}
	return text + "."
}

// readHand tells what a hand strikes in a bar, in order; what follows in the
// same length is not told again.
func (st *study) readHand(bar int, hand score.Hand) string {
	type struck struct {
		at, length score.Rat
		names      []string
	}
	var all []struck
	for i := range st.score.Notes {
		n := &st.score.Notes[i]
		if n.Bar != bar || n.Hand != hand {
			continue
		}
		j := slices.IndexFunc(all, func(s struck) bool { return s.at == n.Onset && s.length == n.Length })
		if j < 0 {
			all = append(all, struck{n.Onset, n.Length, nil})
			j = len(all) - 1
		}
		all[j].names = append(all[j].names, spoken.Replace(n.Pitch.Pretty()))
	}
	slices.SortStableFunc(all, func(a, b struck) int { return a.at.Cmp(b.at) })
	var words []string
	var length score.Rat
	for i, s := range all {
		text := strings.Join(s.names, " and ")
		if i == 0 || s.length != length {
			text += " " + lengthWords(s.length)
		}
		length = s.length
		words = append(words, text)
	}
	return strings.Join(words, ", ")
}

// spoken puts the signs of a pitch into words.
var spoken = strings.NewReplacer("♭♭", " double flat ", "♭", " flat ", "♯", " sharp ", "𝄪", " double sharp ", "𝄫", " double flat ")

// lengthWords names a length in quarters.
func lengthWords(q score.Rat) string {
	names := []struct {
		length score.Rat
		name   string
	}{
		{score.Int(4), "whole"}, {score.Int(3), "dotted half"}, {score.Int(2), "half"}, {score.R(3, 2), "dotted quarter"}, {score.Int(1), "quarter"},
		{score.R(3, 4), "dotted eighth"}, {score.R(1, 2), "eighth"}, {score.R(1, 4), "sixteenth"}, {score.R(1, 8), "thirty-second"},
		{score.R(1, 3), "eighth of a triplet"}, {score.R(1, 6), "sixteenth of a triplet"}, {score.R(2, 3), "quarter of a triplet"},
	}
	for _, n := range names {
		if n.length == q {
			return n.name
		}
	}
	if q.Sign() == 0 {
		return "grace note"
	}
	return q.String() + " of a quarter"
}

// read tells bars in words.
func (s *Server) read(w http.ResponseWriter, r *http.Request) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	what, err := st.stretch(r)
	if err != nil {
		return err
	}
	var lines []string
	for bar := what.first; bar <= what.last; bar++ {
		lines = append(lines, st.readBar(bar))
	}
	writeJSON(w, http.StatusOK, map[string][]string{"bars": lines})
	return nil
}
