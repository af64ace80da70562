package form

import (
	"fmt"
	"math"
	"strings"

	"hardbars/score"
)

// themes are the bars of a piece as a listener knows them again: the tune, and
// the harmony under it, whatever the accompaniment, the octave and the
// ornaments.
type themes []theme

// theme is one bar.
type theme struct {
	tune    []tone
	contour string      // the tune by its intervals and places: equal when transposed; "" for fewer than fewestTones
	harmony [12]float64 // how long each pitch class sounds in it, in quarters; the bass counts double
	norm    float64     // Euclidean length of harmony
}

// tone is a note of the tune.
type tone struct {
	at  score.Rat // from the start of the bar
	key int
}

// What is known again is the tune for tuneWeight and the harmony for the rest.
// Bars of one key have much harmony in common by chance, so that likeness
// counts only from chance on. A tune of fewer than fewestTones in a bar tells
// nothing by its contour. Common practice.
const (
	tuneWeight  = 0.65
	chance      = 0.3
	fewestTones = 4
)

// newThemes reads the tune and the harmony of every bar.
func newThemes(s *score.Score) themes {
	bars := make(themes, len(s.Bars))
	lowest := make([]int, len(s.Bars)) // key; 0 for none
	top := s.TopLine()
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Grace > 0 {
			continue
		}
		bar, key := &bars[n.Bar], n.Pitch.MIDI()
		if top[i] {
			bar.tune = append(bar.tune, tone{n.Onset.Sub(s.Bars[n.Bar].Start), key})
		}
		length := score.Min(n.Length, s.Bars[n.Bar].Length).Float()
		bar.harmony[key%12] += length
		if low := lowest[n.Bar]; low == 0 || key < low {
			lowest[n.Bar] = key
		}
	}
	for i := range bars {
		b := &bars[i]
		if lowest[i] > 0 {
			b.harmony[lowest[i]%12] *= 2
		}
		for _, length := range b.harmony {
			b.norm += length * length
		}
		b.norm = math.Sqrt(b.norm)
		b.contour = contour(b.tune)
	}
	return bars
}

// contour is a tune by its intervals and places, where it has enough tones.
func contour(tune []tone) string {
	if len(tune) < fewestTones {
		return ""
	}
	return contourOf(tune)
}

func contourOf(tune []tone) string {
	var b strings.Builder
	for _, t := range tune {
		fmt.Fprint(&b, t.at, ":", t.key-tune[0].key, " ")
	}
	return b.String()
}

// like is how far bar y is known again as bar x, moved by some semitones: from
// 0, no more than chance, to 1.
func (t themes) like(x, y, semitones int) float64 {
	a, b := &t[x], &t[y]
	if len(a.tune) == 0 || len(b.tune) == 0 {
		return 0
	}
	raw := tuneWeight*a.tuneIn(b, semitones) + (1-tuneWeight)*a.harmonyIn(b, semitones)
	return max(0, raw-chance) / (1 - chance)
}

// tuneIn is the share of both tunes that they have in common: pitch classes at
// equal places.
func (a *theme) tuneIn(b *theme, semitones int) float64 {
	common := 0
	for i, j := 0, 0; i < len(a.tune) && j < len(b.tune); {
		switch d := a.tune[i].at.Cmp(b.tune[j].at); {
		case d < 0:
			i++
		case d > 0:
			j++
		default:
			if (b.tune[j].key-a.tune[i].key-semitones)%12 == 0 {
				common++
			}
			i, j = i+1, j+1
		}
	}
	return 2 * float64(common) / float64(len(a.tune)+len(b.tune))
}

// harmonyIn is the cosine of the angle between two harmonies.
func (a *theme) harmonyIn(b *theme, semitones int) float64 {
	if a.norm == 0 || b.norm == 0 {
		return 0
	}
	sum := 0.0
	for class, length := range a.harmony {
		sum += length * b.harmony[((class+semitones)%12+12)%12]
	}
	return sum / (a.norm * b.norm)
}

// transposed reports whether the tune of bar y is that of bar x transposed, and
// how far, within an octave.
func (t themes) transposed(x, y int) (semitones int, ok bool) {
	a, b := &t[x], &t[y]
	if a.contour == "" || a.contour != b.contour {
		return 0, false
	}
	return (b.tune[0].key - a.tune[0].key) % 12, true
}
