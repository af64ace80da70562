package progress

import (
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest"
	"hardbars/score/scoretest/library"
)

// lanternPiece has four against three in bars 2 and 6, the same notes, and a
// figure of its own in bar 10.
func lanternPiece() scoretest.Piece {
	const (
		plain      = "C5:1 C5:1 C5:1"
		bass       = "C3:1 C3:1 C3:1"
		four       = "C5:1/4 D5:1/4 E5:1/4 F5:1/4 C5:1/4 D5:1/4 E5:1/4 F5:1/4 C5:1/4 D5:1/4 E5:1/4 F5:1/4"
		three      = "C3:1/3 E3:1/3 G3:1/3 C3:1/3 E3:1/3 G3:1/3 C3:1/3 E3:1/3 G3:1/3"
		otherFour  = "A5:1/4 G5:1/4 F5:1/4 E5:1/4 G5:1/4 F5:1/4 E5:1/4 D5:1/4 F5:1/4 E5:1/4 D5:1/4 C5:1/4"
		otherThree = "F2:1/3 A2:1/3 C3:1/3 G2:1/3 B2:1/3 D3:1/3 A2:1/3 C3:1/3 E3:1/3"
	)
	bars := func(b ...string) []string { return []string{strings.Join(b, " | ")} }
	return scoretest.Piece{
		Title: "Lantern Étude", Time: "3/4", QPM: 66,
		Right: bars(plain, four, plain, plain, plain, four, plain, plain, plain, otherFour, plain),
		Left:  bars(bass, three, bass, bass, bass, three, bass, bass, bass, otherThree, bass),
	}
}

func report(t *testing.T, p scoretest.Piece) *detect.Report {
	return detect.Analyze(p.Score(t), detect.DefaultPlayer(), kinds.All)
}

// crossRhythmIn is the cross-rhythm that begins in a bar, as printed.
func crossRhythmIn(t *testing.T, r *detect.Report, bar string) *detect.Spot {
	t.Helper()
	for i := range r.Spots {
		sp := &r.Spots[i]
		if sp.Kind == "cross-rhythm" && r.Score.Bars[sp.FirstBar].Number == bar {
			return sp
		}
	}
	t.Fatalf("no cross-rhythm in bar %s", bar)
	return nil
}

// logOf is a log with a sitting at each of some bars.
func logOf(t *testing.T, r *detect.Report, bars ...string) *Log {
	t.Helper()
	var data []byte
	for _, bar := range bars {
		e := NewEntry(r, Of(crossRhythmIn(t, r, bar)))
		e.Date, e.Tempo, e.Minutes = day("2026-03-02"), "quarter = 50", 5
		data = Append(data, "", &e)
	}
	return Parse(data)
}

// inFront puts bars in front of each voice of a piece.
func inFront(p scoretest.Piece, bars string) scoretest.Piece {
	p.Right, p.Left = []string{bars + " | " + p.Right[0]}, []string{bars + " | " + p.Left[0]}
	return p
}

func TestFindsBarsByTheirNotes(t *testing.T) {
	first := lanternPiece()
	log := logOf(t, report(t, first), "2", "6", "10")
	changed := first
	changed.Right = []string{strings.Replace(first.Right[0], "A5:1/4 G5:1/4 F5:1/4", "A5:1/4 G5:1/4 F#5:1/4", 1)}
	oneOfTwo := first
	oneOfTwo.Right = []string{strings.Replace(first.Right[0], "C5:1/4 D5:1/4 E5:1/4", "C5:1/4 D5:1/4 Eb5:1/4", 1)}
	gone := first
	gone.Right = []string{strings.Replace(first.Right[0], "A5:1/4 G5:1/4 F5:1/4 E5:1/4 G5:1/4 F5:1/4 E5:1/4 D5:1/4 F5:1/4 E5:1/4 D5:1/4 C5:1/4", "r:3", 1)}
	gone.Left = []string{strings.Replace(first.Left[0], "F2:1/3 A2:1/3 C3:1/3 G2:1/3 B2:1/3 D3:1/3 A2:1/3 C3:1/3 E3:1/3", "r:3", 1)}
	for _, c := range []struct {
		name  string
		piece scoretest.Piece
		bars  string // of the three entries, "-" where they are missing
		how   []Match
		moved []bool
	}{
		{"unchanged", first, "2 6 10", []Match{Exact, Exact, Exact}, []bool{false, false, false}},
		{"a bar in front", inFront(first, "r:3"), "3 7 11", []Match{Exact, Exact, Exact}, []bool{true, true, true}},
		{"four bars in front, so that the first of two alike is where the second was", inFront(first, "r:3 | r:3 | r:3 | r:3"), "6 10 14", []Match{Exact, Exact, Exact}, []bool{true, true, true}},
		{"a note corrected", changed, "2 6 10", []Match{Exact, Exact, Similar}, []bool{false, false, true}},
		{"a note corrected in the first of two alike", oneOfTwo, "2 6 10", []Match{Similar, Exact, Exact}, []bool{true, false, false}},
		{"bars taken out", gone, "2 6 -", []Match{Exact, Exact, Missing}, []bool{false, false, false}},
	} {
		r := report(t, c.piece)
		p := Make(r, log)
		for i, want := range strings.Fields(c.bars) {
			f := p.Found[i]
			if f.How != c.how[i] || p.Moved(i) != c.moved[i] {
				t.Errorf("%s, entry %d: %s, moved %v; want %s, %v", c.name, i, f.How, p.Moved(i), c.how[i], c.moved[i])
			}
			if want == "-" {
				if f.Spots != nil || f.Why == "" {
					t.Errorf("%s, entry %d: counts for %v, why %q", c.name, i, f.Spots, f.Why)
				}
				continue
			}
			if id := crossRhythmIn(t, r, want).ID; p.Bars(&f) != want || !slices.Equal(f.Spots, []string{id}) {
				t.Errorf("%s, entry %d: bars %s, places %v; want %s, %s", c.name, i, p.Bars(&f), f.Spots, want, id)
			}
		}
	}
}

// A transposed piece is found again; a place that only sounds like one that was
// taken out is not taken for it.
func TestTransposed(t *testing.T) {
	s := lanternPiece().Score(t)
	log := logOf(t, detect.Analyze(s, detect.DefaultPlayer(), kinds.All), "2", "10")
	for i := range s.Notes {
		s.Notes[i].Pitch.Octave++
	}
	for i, f := range Make(detect.Analyze(s, detect.DefaultPlayer(), kinds.All), log).Found {
		if f.How != Transposed || len(f.Spots) != 1 {
			t.Errorf("all an octave higher, entry %d: %s, counts for %v", i, f.How, f.Spots)
		}
	}
	s = lanternPiece().Score(t)
	for i := range s.Notes {
		if s.Bars[s.Notes[i].Bar].Number == "10" {
			s.Notes[i].Pitch.Octave++
		}
	}
	if f := Make(detect.Analyze(s, detect.DefaultPlayer(), kinds.All), log).Found[1]; f.How != Missing {
		t.Errorf("one bar an octave higher: %s, counts for %v", f.How, f.Spots)
	}
}

// Every place of every score of the project is found where it was logged, and
// one bar later when a bar is put in front.
func TestEveryPlaceIsFound(t *testing.T) {
	places := 0
	for _, path := range library.Own(t, ".musicxml") {
		f, err := musicxml.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Score(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
		later := newPage(barInFront(s))
		for i := range r.Spots {
			sp := &r.Spots[i]
			e := NewEntry(r, Of(sp))
			if p := Make(r, &Log{Entries: []Entry{e}}); p.Found[0].How != Exact || p.Moved(0) || !slices.Contains(p.Found[0].Spots, sp.ID) {
				t.Errorf("%s, place %s: found %+v", path, sp.ID, p.Found[0])
			}
			if first, how := later.find(e.Print, sp.FirstBar); how != Exact || first != sp.FirstBar+1 {
				t.Errorf("%s, place %s: a bar later %s at index %d, want %d", path, sp.ID, how, first, sp.FirstBar+1)
			}
			places++
		}
	}
	if places < 50 {
		t.Errorf("only %d places", places)
	}
}

// barInFront is the score with an empty bar in front.
func barInFront(s *score.Score) *score.Score {
	length := s.Bars[0].Length
	out := &score.Score{Bars: []score.Bar{{Number: "new", Index: 1, Length: length}}}
	for _, b := range s.Bars {
		b.Start = b.Start.Add(length)
		out.Bars = append(out.Bars, b)
	}
	for _, n := range s.Notes {
		n.Onset, n.Bar = n.Onset.Add(length), n.Bar+1
		out.Notes = append(out.Notes, n)
	}
	return out
}

// Another player gets other numbers; the log still holds.
func TestOtherPlayerOtherNumbers(t *testing.T) {
	piece := lanternPiece()
	r := report(t, piece)
	log := logOf(t, r, "10")
	log.Entries[0].Spot = "77"
	p := Make(r, log)
	if id := crossRhythmIn(t, r, "10").ID; !slices.Equal(p.Found[0].Spots, []string{id}) {
		t.Errorf("counts for %v, want %s", p.Found[0].Spots, id)
	}
	log.Entries[0].Hand = score.Left
	if f := Make(r, log).Found[0]; f.Spots != nil || !strings.Contains(f.Why, "no cross-rhythm for the left hand") {
		t.Errorf("in another hand: counts for %v: %s", f.Spots, f.Why)
	}
}

func TestHandWrittenLines(t *testing.T) {
	r := report(t, lanternPiece())
	log := Parse([]byte("2026-03-02 | | 10 | both | cross-rhythm | 50 | |\n2026-03-02 | | 30 | both | cross-rhythm | 50 | |"))
	p := Make(r, log)
	if f := p.Found[0]; f.How != ByNumber || !slices.Equal(f.Spots, []string{crossRhythmIn(t, r, "10").ID}) {
		t.Errorf("bar 10: %+v", f)
	}
	if f := p.Found[1]; f.How != Missing || f.Why == "" {
		t.Errorf("bar 30 of 11: %+v", f)
	}
}

// A place is met again after 1, 3, 7 and 14 days, and is learnt when it has been
// met five times and is clean at its tempo.
func TestDue(t *testing.T) {
	r := report(t, lanternPiece())
	sp := crossRhythmIn(t, r, "10")
	var data []byte
	for i, c := range []struct{ date, tempo, next, curve string }{
		{"2026-03-02", "", "2026-03-03", "·"},
		{"2026-03-03", "33", "2026-03-05", "·▁"},
		{"2026-03-05", "50%", "2026-03-09", "·▁▁"},
		{"2026-03-09", "99/2", "", ""},
		{"2026-03-09", "quarter=49.5", "2026-03-16", "·▁▁▄"},
		{"2026-03-09", "40", "2026-03-16", "·▁▁▄"},
		{"2026-03-16", "65", "2026-03-23", "·▁▁▄▇"},
		{"2026-03-23", "100%", "learnt", "·▁▁▄▇█"},
	} {
		e := NewEntry(r, Of(sp))
		e.Date = day(c.date)
		if c.tempo != "" {
			if err := e.SetTempo(r, Of(sp), c.tempo); (err != nil) != (c.next == "") {
				t.Fatalf("entry %d: %v", i, err)
			}
		}
		if c.next == "" {
			continue
		}
		data = Append(data, "", &e)
		p := Make(r, Parse(data))
		got := "learnt"
		if next, ok := p.Next(&p.Places[0]); ok {
			got = next.Format("2006-01-02")
			if len(p.Due(next)) != 1 || len(p.Due(next.AddDate(0, 0, -1))) != 0 {
				t.Errorf("entry %d: due %v on the day, %v the day before", i, p.Due(next), p.Due(next.AddDate(0, 0, -1)))
			}
		}
		if curve := p.Curve(&p.Places[0], 12); got != c.next || curve != c.curve {
			t.Errorf("entry %d: next %s, curve %s; want %s, %s", i, got, curve, c.next, c.curve)
		}
	}
	p := Make(r, Parse(data))
	if known := p.Known()[sp.ID]; known.Best != 66 || len(known.Dates) != 6 {
		t.Errorf("best %g on %d days, want 66 on 6", known.Best, len(known.Dates))
	}
	if curve := p.Curve(&p.Places[0], 2); curve != "▇█" {
		t.Errorf("the latest two days: %s", curve)
	}
}

// What was met long ago and seldom is forgotten first.
func TestForgotten(t *testing.T) {
	r := report(t, lanternPiece())
	p := Make(r, logOf(t, r, "2", "6", "6", "10"))
	for i := range p.Places {
		bar := r.Score.Bars[p.Places[i].Spot.FirstBar].Number
		if bar == "6" {
			p.Places[i].State.Dates = append(p.Places[i].State.Dates, day("2026-03-03"), day("2026-03-05"))
		}
		if bar == "10" {
			p.Places[i].State.Dates = append(p.Places[i].State.Dates, day("2026-03-20"))
		}
	}
	var order []string
	for _, place := range p.Forgotten(day("2026-06-01")) {
		order = append(order, r.Score.Bars[place.Spot.FirstBar].Number)
	}
	if got := strings.Join(order, " "); got != "2 10 6" {
		t.Errorf("forgotten in the order of bars %s, want 2, met once; 10, twice; 6, three times", got)
	}
	if days, back := p.Back(day("2026-06-01")); days != 91 || !back {
		t.Errorf("%d days, coming back: %v", days, back)
	}
	if _, back := p.Back(day("2026-03-10")); back {
		t.Error("a week is no long time")
	}
}
