package hand

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

// study is a piece with a finger printed at every note.
type study struct {
	name   string
	score  *score.Score
	finger []int // by note
}

// allegro is 120 quarters a minute; the studies have no tempo.
func allegro(from, to score.Rat) float64 { return to.Sub(from).Float() / 2 }

const fingered = "../../../shared/fingered"

// readStudies reads ../shared/fingered: Czerny's op. 599 with his fingering.
func readStudies(t testing.TB) []*study {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(fingered, "*.musicxml"))
	if len(files) == 0 {
		t.Skip("no ../shared/fingered beside the project: nothing to compare fingers with")
	}
	printed := readFingers(t)
	var all []*study
	for _, file := range files {
		f, err := musicxml.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Score(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file[:len(file)-len(filepath.Ext(file))])
		one := &study{name: name, score: s, finger: make([]int, len(s.Notes))}
		for i := range s.Notes {
			n := &s.Notes[i]
			bar := s.Bars[n.Bar]
			one.finger[i] = printed[fmt.Sprintf("%s,%s,%d,%s,%d", name, n.Hand, bar.Index, n.Onset.Sub(bar.Start), n.Pitch.MIDI())]
		}
		all = append(all, one)
	}
	return all
}

func readFingers(t testing.TB) map[string]int {
	t.Helper()
	f, err := os.Open(filepath.Join(fingered, "fingers.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	printed := map[string]int{}
	for _, r := range rows[1:] {
		finger, err := strconv.Atoi(r[5])
		if err != nil {
			t.Fatal(err)
		}
		printed[fmt.Sprintf("%s,%s,%s,%s,%s", r[0], r[1], r[2], r[3], r[4])] = finger
	}
	return printed
}

// agreement counts notes by hand.
type agreement struct{ same, all [2]int }

func (a *agreement) add(l *lesson) {
	chosen := l.piece.search()
	for i := range l.piece.moments {
		m := &l.piece.moments[i]
		for j, n := range m.notes {
			if !m.struck[j] || n == ornament || l.finger[n] == 0 {
				continue
			}
			a.all[l.side]++
			if int(m.grips[chosen[i]][j]) == l.finger[n] {
				a.same[l.side]++
			}
		}
	}
}

func (a *agreement) share(sides ...score.Hand) float64 {
	same, all := 0, 0
	for _, s := range sides {
		same, all = same+a.same[s], all+a.all[s]
	}
	return float64(same) / float64(max(all, 1))
}

func (a *agreement) String() string {
	return fmt.Sprintf("%.3f of %d notes, right %.3f, left %.3f",
		a.share(score.Right, score.Left), a.all[0]+a.all[1], a.share(score.Right), a.share(score.Left))
}

// Fingers against those of another hand: Czerny's op. 599, every note fingered
// by him. The weights were fitted to these studies, so this is a floor under
// mistakes, and no measure: see TestTune for studies that they have not seen.
func TestAgreement(t *testing.T) {
	var total agreement
	impossible, slides := 0, 0
	for i, s := range readStudies(t) {
		f := Finger(s.score, hands, allegro)
		for _, side := range []score.Hand{score.Right, score.Left} {
			l := newLesson(i, s, side)
			total.add(l)
			x, y := faults(f, s.score, side)
			impossible, slides = impossible+x, slides+y
		}
	}
	t.Logf("%s; %d impossible, %d times one finger on two keys in a row", &total, impossible, slides)
	if total.share(score.Right, score.Left) < 0.80 || impossible > 0 || slides > 0 {
		t.Errorf("%s, want 0.80; %d impossible, %d times one finger on two keys without a rest, want none", &total, impossible, slides)
	}
}

// faults counts what no hand can do, and single fingers that go from key to
// key without a rest, with nothing held.
func faults(f *Fingering, s *score.Score, side score.Hand) (impossible, slides int) {
	places := f.Places[side]
	for i, p := range places {
		if p.Wide {
			continue // no hand of this span can, and that is said
		}
		for j, n := range p.Notes {
			finger := f.Notes[n].Finger
			if finger < 1 || finger > 5 || j > 0 && finger <= f.Notes[p.Notes[j-1]].Finger && finger > 1 {
				impossible++
			}
		}
		if i == 0 || len(p.Notes) != 1 || len(places[i-1].Notes) != 1 || p.Free > 0 || len(p.Held) > 0 {
			continue
		}
		a, b := places[i-1].Notes[0], p.Notes[0]
		if f.Notes[a].Finger == f.Notes[b].Finger && s.Notes[a].Pitch.MIDI() != s.Notes[b].Pitch.MIDI() {
			slides++
		}
	}
	return impossible, slides
}

// 500 bars of sixteenths in both hands.
func BenchmarkFinger(b *testing.B) {
	s := &score.Score{Tempos: []score.Tempo{{QPM: 120}}}
	for bar := range 500 {
		start := score.Int(int64(4 * bar))
		s.Bars = append(s.Bars, score.Bar{Number: strconv.Itoa(bar + 1), Index: bar + 1, Start: start, Length: score.Int(4)})
		for i := range 16 {
			at := start.Add(score.R(int64(i), 4))
			s.Notes = append(s.Notes,
				score.Note{Hand: score.Right, Bar: bar, Onset: at, Length: score.R(1, 4), Pitch: score.PitchAt(35+(bar*7+i*(3+bar%4))%15, 0)},
				score.Note{Hand: score.Left, Bar: bar, Onset: at, Length: score.R(1, 4), Pitch: score.PitchAt(21+(bar*5+i*(2+bar%5))%12, 0)})
			if i%4 == 0 {
				s.Notes = append(s.Notes, score.Note{Hand: score.Left, Bar: bar, Onset: at, Length: score.R(1, 4), Pitch: score.PitchAt(21+(bar*5+i*(2+bar%5))%12+4, 0)})
			}
		}
	}
	for b.Loop() {
		Finger(s, hands, allegro)
	}
}

// In music of all kinds no finger is impossible, and no single finger goes from
// key to key in legato while the hand has nothing else to hold.
func TestScoresArePlayable(t *testing.T) {
	for _, file := range slices.Concat(library.Own(t, ".musicxml", ".mxl"), library.Shared(t)) {
		f, err := musicxml.Open(file)
		if err != nil {
			continue // a file that is broken on purpose
		}
		s, err := f.Score(musicxml.Options{})
		if err != nil {
			continue
		}
		s = Assign(s, hands, nil)
		fingering := Finger(s, hands, allegro)
		for _, side := range []score.Hand{score.Right, score.Left} {
			if impossible, slides := faults(fingering, s, side); impossible > 0 || slides > 0 {
				t.Errorf("%s, %s hand: %d impossible, %d times one finger on two keys", filepath.Base(file), side, impossible, slides)
			}
		}
	}
}
