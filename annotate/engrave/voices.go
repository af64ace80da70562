package engrave

import (
	"cmp"
	"slices"

	"hardbars/score/notation"
)

// barVoice is one voice on one staff in one bar.
type barVoice struct {
	voice  string
	chords []*chord
	stems  int     // up less down, as the file has them
	height float64 // mean place of its heads; less is higher
	first  int     // index of its first chord
}

// rankVoices tells every chord how many voices share its staff in its bar, and
// whether it is of the upper one.
func (l *layout) rankVoices() {
	chords := slices.Clone(l.chords)
	slices.SortStableFunc(chords, func(a, b *chord) int { return cmp.Compare(a.Bar, b.Bar) })
	for start := 0; start < len(chords); {
		end := start
		for end < len(chords) && chords[end].Bar == chords[start].Bar {
			end++
		}
		for staff := 1; staff <= l.score.Staves; staff++ {
			rankStaff(chords[start:end], staff)
		}
		start = end
	}
}

// rankStaff ranks the voices of a bar on one staff. A voice that has nothing but
// grace notes there is none of its own.
func rankStaff(bar []*chord, staff int) {
	var voices []*barVoice
	for _, c := range bar {
		if c.Staff != staff {
			continue
		}
		i := slices.IndexFunc(voices, func(v *barVoice) bool { return v.voice == c.Voice })
		if i < 0 {
			i = len(voices)
			voices = append(voices, &barVoice{voice: c.Voice, first: c.index})
		}
		voices[i].chords = append(voices[i].chords, c)
	}
	voices = slices.DeleteFunc(voices, func(v *barVoice) bool {
		return !slices.ContainsFunc(v.chords, func(c *chord) bool { return c.Grace == 0 })
	})
	for _, v := range voices {
		v.weigh()
	}
	slices.SortStableFunc(voices, higher)
	for rank, v := range voices {
		for _, c := range v.chords {
			c.voices = len(voices)
			c.upper = len(voices) > 1 && rank < (len(voices)+1)/2
		}
	}
}

func (v *barVoice) weigh() {
	heads := 0
	for _, c := range v.chords {
		if c.Grace == 0 && !c.Rest {
			switch c.Stem {
			case notation.StemUp:
				v.stems++
			case notation.StemDown:
				v.stems--
			}
		}
		for _, h := range c.heads {
			if h.note != nil {
				v.height += float64(h.pos)
				heads++
			}
		}
	}
	v.height /= float64(max(heads, 1))
	if heads == 0 {
		v.height = 4 // rests alone: in the middle of the staff
	}
}

// higher orders voices from the top: by their stems, then by pitch, then by
// name.
func higher(a, b *barVoice) int {
	return cmp.Or(
		cmp.Compare(cmp.Compare(b.stems, 0), cmp.Compare(a.stems, 0)),
		cmp.Compare(a.height, b.height),
		cmp.Compare(a.voice, b.voice),
	)
}

// mergeRests lets one of two voices that rest alike be seen.
func (l *layout) mergeRests() {
	for i, c := range l.chords {
		if !c.Rest || c.heads[0].glyph == "" {
			continue
		}
		for _, d := range l.chords[i+1:] {
			if d.At != c.At {
				break
			}
			if d.Rest && d.Staff == c.Staff && d.Grace == 0 && d.Length == c.Length && d.WholeBar == c.WholeBar {
				d.heads[0].glyph = ""
				c.voices, d.voices = c.voices-1, d.voices-1
			}
		}
	}
}
