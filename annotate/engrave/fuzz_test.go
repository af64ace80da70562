package engrave

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// dice makes random choices from a fuzzer's bytes; without bytes all are 0.
type dice []byte

func (d *dice) roll(n int) int {
	if len(*d) == 0 {
		return 0
	}
	b := (*d)[0]
	*d = (*d)[1:]
	return int(b) % n
}

func (d *dice) yes(of int) bool { return d.roll(of) == 1 }

func pickOf[T any](d *dice, of ...T) T { return of[d.roll(len(of))] }

// randomScore is a few bars of anything that the notation package can say, sane
// or not, as long as its indices and staves are there.
func randomScore(d *dice) *notation.Score {
	n := &notation.Score{Staves: 1 + d.roll(3)}
	for staff := 1; staff <= n.Staves; staff++ {
		n.Clefs = append(n.Clefs, d.clef(score.Rat{}, staff))
	}
	n.Keys = []notation.Key{{Fifths: d.roll(15) - 7}}
	n.Times = []notation.Time{{Beats: []string{"3+2"}, Types: []string{"8"}, Symbol: pickOf(d, "", "common", "cut")}}
	at, id := score.Rat{}, 0
	for bar := range 1 + d.roll(4) {
		length := score.R(int64(1+d.roll(16)), 4)
		n.Bars = append(n.Bars, notation.Bar{Number: pickOf(d, "", "1", "12a"), Start: at, Length: length, Right: notation.Barline{
			Style: pickOf(d, "", "light-light", "light-heavy", "dashed", "none"), Repeat: d.yes(4)}})
		for range d.roll(12) {
			c := d.chord(n.Staves, at.Add(length.Mul(score.R(int64(d.roll(12)), 12))), &id)
			c.Bar = bar
			n.Chords = append(n.Chords, c)
		}
		if d.yes(3) {
			n.Clefs = append(n.Clefs, d.clef(at.Add(length.Mul(score.R(int64(d.roll(5)), 4))), 1+d.roll(n.Staves)))
		}
		at = at.Add(length)
	}
	sortScore(n)
	d.join(n, id)
	return n
}

func (d *dice) clef(at score.Rat, staff int) notation.Clef {
	return notation.Clef{At: at, Staff: staff, Sign: pickOf(d, "G", "F", "C", "percussion", "TAB", ""), Line: d.roll(6), Octave: d.roll(7) - 3, AtEnd: d.yes(4), Hidden: d.yes(8)}
}

func (d *dice) chord(staves int, at score.Rat, id *int) notation.Chord {
	types := []string{"quarter", "breve", "whole", "half", "eighth", "16th", "1024th", "maxima", "long", ""}
	c := notation.Chord{
		At: at, Length: score.R(int64(1+d.roll(8)), 4), Voice: pickOf(d, "1", "2", "5"), Staff: 1 + d.roll(staves),
		Value: notation.Value{Type: pickOf(d, types...), Dots: d.roll(4)},
		Stem:  pickOf(d, notation.StemAuto, notation.StemUp, notation.StemDown, notation.StemNone),
		Rest:  d.yes(5), Hidden: d.yes(9), Cue: d.yes(9), Tremolo: d.roll(4), TremoloPart: pickOf(d, "", "single", "start", "stop"),
	}
	if d.yes(5) {
		c.Grace, c.GraceAfter, c.Slashed, c.Length = 1+d.roll(3), d.yes(2), d.yes(2), score.Rat{}
	}
	if c.Rest {
		c.WholeBar, c.RestAt = d.yes(4), d.roll(50)
		return c
	}
	if d.yes(2) {
		c.Beams = []string{pickOf(d, "begin", "continue", "end", "forward hook", "backward hook"), pickOf(d, "begin", "continue", "end", "forward hook")}
	}
	place := 10 + d.roll(40)
	for range 1 + d.roll(4) {
		p := score.PitchAt(place, d.roll(5)-2)
		c.Notes = append(c.Notes, notation.Note{
			ID: *id, Written: p, Staff: c.Staff, Head: pickOf(d, "", "x", "diamond", "none", "odd"),
			Accidental: pickOf(d, "", "sharp", "flat-flat", "odd"), Bracketed: d.yes(4),
			Fingering: []notation.Fingering{{Text: pickOf(d, "", "1", "5-1", "2 3")}},
		})
		*id++
		place += d.roll(5)
	}
	if d.yes(2) {
		c.Marks = []notation.Mark{{Name: pickOf(d, "staccato", "trill-mark", "fermata", "turn", "odd", ""), Side: pickOf(d, notation.Auto, notation.Above, notation.Below)}}
	}
	return c
}

// join puts bows, tuplets, signs and lines over the chords.
func (d *dice) join(n *notation.Score, notes int) {
	chord := func() int { return d.roll(len(n.Chords)+1) - 1 }
	some := func() score.Rat { return n.Bars[len(n.Bars)-1].End().Mul(score.R(int64(d.roll(9)), 8)) }
	for range d.roll(5) {
		if s := (notation.Slur{From: chord(), To: chord(), Dashed: d.yes(3)}); s.From >= 0 || s.To >= 0 {
			n.Slurs = append(n.Slurs, s)
		}
		if notes > 0 {
			n.Ties = append(n.Ties, notation.Tie{From: d.roll(notes), To: d.roll(notes+1) - 1})
			n.Slides = append(n.Slides, notation.Slide{From: d.roll(notes), To: d.roll(notes), Wavy: d.yes(2), Text: "gliss."})
		}
		if a, b := chord(), chord(); a >= 0 && b > a {
			n.Tuplets = append(n.Tuplets, notation.Tuplet{From: a, To: b, Text: "3", Bracket: d.yes(2)})
		}
		if from, to := some(), some(); from.Less(to) {
			n.Lines = append(n.Lines, notation.Line{Kind: notation.LineKind(d.roll(int(notation.Bracket) + 1)), From: from, To: to, Staff: 1 + d.roll(n.Staves), Text: "8"})
		}
		n.Signs = append(n.Signs, notation.Sign{Kind: notation.SignKind(d.roll(int(notation.PedalUp) + 1)), At: some(), Staff: 1 + d.roll(n.Staves), Text: pickOf(d, "ffz", "dolce\nma non troppo", "♩ = 66", "")})
	}
}

// FuzzSet: whatever the bars hold they are set, on a page of a sane height, each
// printed note with one head, and nothing outside.
func FuzzSet(f *testing.F) {
	f.Add([]byte{})
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		data := make([]byte, 800)
		for i := range data {
			data[i] = byte(r.Uint32())
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d := dice(data)
		n := randomScore(&d)
		drawing := set(n, Options{To: n.Bars[len(n.Bars)-1].End(), Width: 180})
		for _, it := range drawing.Items {
			for _, v := range []float64{it.Box.Left, it.Box.Top, it.Box.Right, it.Box.Bottom} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%s %s%s has no place: %v", it.Role, it.Glyph, it.Text, it.Box)
				}
			}
		}
		if most := 400.0 * float64(n.Staves*max(1, len(drawing.Systems))); drawing.Height > most {
			t.Errorf("%d systems are %.0f mm high", len(drawing.Systems), drawing.Height)
		}
		g := newGeometry(n, drawing)
		g.everyNoteOnce()
		for _, problem := range g.problems {
			t.Error(problem)
		}
	})
}

func sortScore(n *notation.Score) {
	slices.SortStableFunc(n.Chords, func(a, b notation.Chord) int {
		return cmp.Or(a.At.Cmp(b.At), cmp.Compare(b.Grace, a.Grace), cmp.Compare(a.Staff, b.Staff))
	})
	slices.SortStableFunc(n.Clefs, func(a, b notation.Clef) int {
		return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff))
	})
}
