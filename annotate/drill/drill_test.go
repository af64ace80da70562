package drill

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/beevik/etree"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest"
	"hardbars/score/scoretest/library"
)

// eachScore calls do for every score of the project's testdata.
func eachScore(t *testing.T, do func(t *testing.T, s *score.Score)) {
	t.Helper()
	for _, path := range library.Own(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			f, err := musicxml.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			s, err := f.Score(musicxml.Options{})
			if err != nil {
				t.Fatal(err)
			}
			do(t, s)
		})
	}
}

// everywhere is a report with a hot spot of a kind that the package does not
// know in every bar that has notes.
func everywhere(s *score.Score) *detect.Report {
	r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	r.Spots, r.Families = nil, nil
	for bar := range s.Bars {
		var notes []int
		for i := range s.Notes {
			if s.Notes[i].Bar == bar {
				notes = append(notes, i)
			}
		}
		if len(notes) == 0 {
			continue
		}
		id := strconv.Itoa(len(r.Spots) + 1)
		from, to := s.Bars[bar].Start, s.Bars[bar].End()
		o := detect.Occurrence{Kind: "unheard-of", Hand: score.Hand(bar % 3), From: from, To: to, Notes: notes, Demand: 2, Timed: true, Label: "something"}
		r.Spots = append(r.Spots, detect.Spot{
			ID: id, Kind: o.Kind, Hand: o.Hand, From: from, To: to, FirstBar: bar, LastBar: min(bar+bar%6, len(s.Bars)-1),
			Demand: 2, Target: 80, Comfortable: 40, Label: o.Label, Occurrences: []detect.Occurrence{o},
		})
	}
	return r
}

func written(t *testing.T, r *detect.Report, spots ...*detect.Spot) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, r, spots); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// check reads drills back: every bar is full, nothing is repaired, and the
// title is the piece's. It returns what was read.
func check(t *testing.T, name string, r *detect.Report, data []byte) *score.Score {
	t.Helper()
	f, err := musicxml.Read(bytes.NewReader(data), "drill.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range s.Bars {
		if b.Length != b.Time.Length {
			t.Errorf("%s: bar %s is %s quarters long, its time signature %s", name, b.Number, b.Length, b.Time.Length)
		}
	}
	for _, w := range s.Warnings {
		t.Errorf("%s: %s", name, w)
	}
	if r.Score.Title != "" && s.Title != r.Score.Title || s.Composer != r.Score.Composer {
		t.Errorf("%s: titled %q by %q", name, s.Title, s.Composer)
	}
	checkVoices(t, name, f.Doc)
	return s
}

// Every drill of every hot spot, and of every bar as an unknown kind, is read
// back with full bars, and tempos from the one to begin with to the one to reach.
func TestDrillsAreReadBack(t *testing.T) {
	eachScore(t, func(t *testing.T, s *score.Score) {
		r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
		for i := range r.Spots {
			spot := &r.Spots[i]
			name := fmt.Sprintf("spot %s, %s in bars %s", spot.ID, spot.Kind, r.Bars(spot))
			back := check(t, name, r, written(t, r, spot))
			start, target := r.Paces(spot)
			for _, tempo := range back.Tempos {
				if tempo.From != score.FromMetronome || tempo.QPM < start.QPM() || tempo.QPM > target.QPM() {
					t.Errorf("%s: tempo %g by %s, want %s to %s", name, tempo.QPM, tempo.From, start, target)
				}
			}
			if back.Tempos[0].QPM != start.QPM() {
				t.Errorf("%s: begins at %g, want %s", name, back.Tempos[0].QPM, start)
			}
		}
		r = everywhere(s)
		var all []*detect.Spot
		for i := range r.Spots {
			all = append(all, &r.Spots[i])
		}
		check(t, "everywhere", r, written(t, r, all...))
	})
}

// checkVoices sees to it that every voice of every measure fills it exactly,
// in the file's own whole divisions, and that exercises stand between repeat signs.
func checkVoices(t *testing.T, name string, doc *etree.Document) {
	t.Helper()
	divisions, length, open := 0, 0, false
	tied := map[string]int{} // open ties by staff, step and octave
	for _, m := range doc.FindElements("score-partwise/part/measure") {
		number := m.SelectAttrValue("number", "")
		for _, a := range m.SelectElements("attributes") {
			if d := a.SelectElement("divisions"); d != nil {
				divisions = atoi(t, d.Text())
			}
			if time := a.SelectElement("time"); time != nil {
				length = 0
				for i, beats := range time.SelectElements("beats") {
					for term := range strings.SplitSeq(beats.Text(), "+") {
						length += 4 * divisions * atoi(t, term) / atoi(t, time.SelectElements("beat-type")[i].Text())
					}
				}
			}
		}
		voices := map[string]int{}
		for _, n := range m.SelectElements("note") {
			if n.SelectElement("chord") == nil && n.SelectElement("grace") == nil {
				voices[n.SelectElement("staff").Text()+"/"+n.SelectElement("voice").Text()] += atoi(t, n.SelectElement("duration").Text())
			}
		}
		if len(voices) < 2 {
			t.Errorf("%s: measure %s has no voice on one of the staves", name, number)
		}
		for voice, sum := range voices {
			if sum != length {
				t.Errorf("%s: measure %s, staff and voice %s: %d divisions of %d", name, number, voice, sum, length)
			}
		}
		for _, n := range m.SelectElements("note") {
			for _, tie := range n.SelectElements("tie") {
				p := n.SelectElement("pitch")
				key := n.SelectElement("staff").Text() + " " + p.SelectElement("step").Text() + p.SelectElement("octave").Text()
				if tied[key]++; tie.SelectAttrValue("type", "") == "stop" {
					tied[key] -= 2
				}
				if tied[key] < 0 {
					t.Errorf("%s: measure %s: a tie of staff %s stops where none began", name, number, key)
				}
			}
		}
		for _, repeat := range m.FindElements("barline/repeat") {
			if forward := repeat.SelectAttrValue("direction", "") == "forward"; forward == open {
				t.Errorf("%s: measure %s: repeat signs do not come in pairs", name, number)
			} else {
				open = forward
			}
			for key, n := range tied {
				if !open && n != 0 {
					t.Errorf("%s: measure %s: %d ties of staff %s go over a repeat sign", name, number, n, key)
				}
			}
			if !open {
				clear(tied)
			}
		}
		if title := m.FindElement("direction/direction-type/words"); title != nil && !open && len(m.FindElements("barline/repeat")) == 0 {
			t.Errorf("%s: measure %s: %q stands in no repeat", name, number, title.Text())
		}
	}
	if open {
		t.Errorf("%s: the last repeat does not end", name)
	}
}

func atoi(t *testing.T, text string) int {
	t.Helper()
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Hands together are the notes of the piece: each with its pitch, hand, place,
// length and finger. What is tied over from before is struck, with its finger.
func TestTogetherIsThePiece(t *testing.T) {
	eachScore(t, func(t *testing.T, s *score.Score) {
		r := everywhere(s)
		p := newPiece(r)
		for i := range r.Spots {
			g := newPassage(p, &r.Spots[i])
			for bar := g.first; bar <= g.last; bar++ {
				frames := p.frames(bar, bar)
				want, got := notesOf(s, bar), soundsOf(g.bars(bar, bar, everything), s.Bars[bar].Start.Sub(frames[0].parts[0].at))
				if !slices.Equal(got, want) {
					t.Fatalf("bar %s holds\n%s\nand is written as\n%s", s.Bars[bar].Number, strings.Join(want, "\n"), strings.Join(got, "\n"))
				}
			}
		}
	})
}

// notesOf describes what is printed in a bar of the piece. Everywhere's hot spots
// take in each note in the bar where it is struck, hidden or not.
func notesOf(s *score.Score, bar int) []string {
	var all []string
	for _, n := range s.Notes {
		begun := false
		for i, h := range n.Heads {
			if h.Bar != bar || n.Grace > 0 || h.Length.IsZero() || h.Hidden && (i > 0 || n.Bar != bar) {
				continue
			}
			finger := n.Fingering
			if begun {
				finger = ""
			}
			begun = true
			all = append(all, fmt.Sprintf("%s %s %s %s %s", h.Onset, h.Length, n.Hand, n.Pitch, finger))
		}
	}
	slices.Sort(all)
	return all
}

func soundsOf(bars []bar, start score.Rat) []string {
	var all []string
	for _, b := range bars {
		for hand, voices := range b.hands {
			for _, v := range voices {
				for _, s := range v {
					for _, tone := range s.tones {
						finger := ""
						if tone.note != nil {
							finger = tone.note.Fingering
						}
						all = append(all, fmt.Sprintf("%s %s %s %s %s", start.Add(s.at), s.length, score.Hand(hand), tone.pitch, finger))
					}
				}
			}
		}
		start = start.Add(b.time.Length)
	}
	slices.Sort(all)
	return all
}

// A kind that is in no table gets the general drills, in this order.
func TestUnknownKind(t *testing.T) {
	s := scoretest.Piece{
		Time: "2/4", QPM: 80,
		Right: []string{"C5:2 | D5:1 E5:1 | F5:2 | G5:2"},
		Left:  []string{"C3:2 | G2:2 | A2:2 | C3:2"},
	}.Score(t)
	r := everywhere(s)
	spot := r.Spots[1]
	spot.LastBar = 2
	checkTitles(t, r, &spot, []string{
		"Left hand alone", "Right hand alone", "Hands together",
		"Chain: bar 4", "Chain: bars 3–4", "Chain: bars 2–4", "Chain: bars 1–4",
		"Ladder 1 of 9", "Ladder 2 of 9", "Ladder 3 of 9", "Ladder 4 of 9", "Ladder 5 of 9", "Ladder 6 of 9", "Ladder 7 of 9", "Ladder 8 of 9", "Ladder 9 of 9",
	})
	if got := newPassage(newPiece(r), &spot).heading(); got != "2 · Bars 2–3, left hand: something" {
		t.Errorf("headed %q", got)
	}
}

func checkTitles(t *testing.T, r *detect.Report, spot *detect.Spot, want []string) {
	t.Helper()
	var got []string
	for _, e := range newPassage(newPiece(r), spot).exercises() {
		got = append(got, e.title)
	}
	if !slices.Equal(got, want) {
		t.Errorf("drills\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// Of a long hot spot the bars around its hardest place are drilled, never
// bars outside it.
func TestPassageStaysInTheSpot(t *testing.T) {
	s := scoretest.Piece{Right: []string{strings.TrimSuffix(strings.Repeat("C5:4 | ", 12), " | ")}}.Score(t)
	r := everywhere(s)
	for hardest := 2; hardest <= 9; hardest++ {
		spot := r.Spots[hardest]
		spot.FirstBar, spot.LastBar = 2, 9
		g := newPassage(newPiece(r), &spot)
		if g.last-g.first != mostBars-1 || g.first < 2 || g.last > 9 || hardest < g.first || hardest > g.last {
			t.Errorf("hardest in bar %d of 3–10: bars %d–%d", hardest+1, g.first+1, g.last+1)
		}
	}
}

// The same report gives the same bytes. The book holds something of each passage
// on the shortlist, in its order, at most one hot spot for each hand and one for
// both, and nothing else: it never grows with the piece beyond that.
func TestBook(t *testing.T) {
	eachScore(t, func(t *testing.T, s *score.Score) {
		r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
		spots := Book(r)
		if len(spots) == 0 {
			return
		}
		data := written(t, r, spots...)
		if !bytes.Equal(data, written(t, detect.Analyze(s, detect.DefaultPlayer(), kinds.All), spots...)) {
			t.Error("the same score gives other bytes")
		}
		var want []string
		for _, p := range r.Passages {
			if !p.Shortlist {
				continue
			}
			at := slices.IndexFunc(spots, func(sp *detect.Spot) bool { return slices.Contains(p.Spots, sp.ID) })
			if at < 0 || p.Order == 1 && at != 0 {
				t.Errorf("passage %s: place %d in the book", p.ID, at)
			}
			want = append(want, p.Spots...)
		}
		seen := map[string]bool{}
		for _, spot := range spots {
			if seen[spot.ID] || !slices.Contains(want, spot.ID) {
				t.Errorf("spot %s is in the book twice, or not on the shortlist", spot.ID)
			}
			seen[spot.ID] = true
		}
	})
}
