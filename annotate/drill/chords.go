package drill

import (
	"slices"
	"strconv"
	"strings"

	"hardbars/score"
	"hardbars/score/notation"
)

// chord is one written chord or rest on its way into a book.
type chord struct {
	notation.Chord
	tones        []tone // of each note
	begins, ends bool   // a tuplet
}

// voice writes a complete voice. Its notes are printed so many octaves below
// their sound.
func (b *book) voice(v voice, hand score.Hand, name string, octaves int) []chord {
	var spans []notation.Span
	for _, s := range v {
		spans = append(spans, notation.Span{At: s.at, Length: s.length})
	}
	start := b.Bars[len(b.Bars)-1].Start
	spelled := notation.Spell(spans, b.Bars[len(b.Bars)-1].Time)
	var all []chord
	for i, sp := range spelled {
		s := v[sp.Of]
		if next := i + 1; next < len(spelled) && spelled[next].Of == sp.Of {
			s, v[sp.Of] = s.cut(sp.Length)
		}
		c := b.chord(s, hand, name, octaves)
		c.At, c.Length, c.Value, c.Ratio = start.Add(sp.At), sp.Length, sp.Value, sp.Ratio
		c.begins, c.ends = sp.Begins, sp.Ends
		all = append(append(all, b.graceNotes(s.grace, c, octaves)...), c)
	}
	return all
}

// chord is a chord or rest without its place and value.
func (b *book) chord(s sound, hand score.Hand, name string, octaves int) chord {
	c := chord{tones: s.tones}
	c.Bar, c.Voice, c.Staff, c.Hand = len(b.Bars)-1, name, int(hand)+1, hand
	c.Rest, c.Hidden, c.Lyrics = len(s.tones) == 0, s.unseen, s.lyrics
	for _, t := range s.tones {
		n := notation.Note{Written: t.pitch, Staff: c.Staff}
		n.Written.Octave -= octaves
		if s.tap {
			n.Head = "x"
		}
		if t.note != nil {
			n.Fingering = fingering(t.note.Fingering)
			c.addMarks(t.note)
		}
		c.Notes = append(c.Notes, n)
	}
	if s.fermata {
		c.Marks = append(c.Marks, notation.Mark{Name: "fermata"})
	}
	return c
}

// fingering takes the fingering of a note of the piece apart.
func fingering(text string) []notation.Fingering {
	var fingers []notation.Fingering
	for one := range strings.FieldsSeq(text) {
		fingers = append(fingers, notation.Fingering{Text: one})
	}
	return fingers
}

// addMarks adds the articulations and ornaments of a note of the piece, with
// their accidentals, and the tremolo of a single one. The line of a trill is part
// of its sign.
func (c *chord) addMarks(n *score.Note) {
	add := func(m notation.Mark) {
		if !slices.Contains(c.Marks, m) {
			c.Marks = append(c.Marks, m)
		}
	}
	for _, name := range n.Articulations {
		add(notation.Mark{Name: name})
	}
	for i, name := range slices.DeleteFunc(slices.Clone(n.Ornaments), func(name string) bool { return name == "wavy-line" }) {
		m := notation.Mark{Name: name}
		if i == 0 {
			m.AboveIt, m.BelowIt = n.AuxAbove, n.AuxBelow
		}
		add(m)
	}
	if n.Tremolo > 0 && !n.TremoloPair {
		c.Tremolo, c.TremoloPart = n.Tremolo, "single"
	}
}

// graceNotes are eighths where there is one, otherwise sixteenths.
func (b *book) graceNotes(groups [][]tone, main chord, octaves int) []chord {
	var all []chord
	for i, tones := range groups {
		c := b.chord(sound{tones: tones}, main.Hand, main.Voice, octaves)
		c.At, c.Grace = main.At, i+1
		c.Slashed, c.Value.Type = len(groups) == 1, "eighth"
		if len(groups) > 1 {
			c.Value.Type = "16th"
		}
		all = append(all, c)
	}
	return all
}

func (b *book) wholeRest(hand score.Hand, name string) chord {
	bar := &b.Bars[len(b.Bars)-1]
	c := b.chord(sound{}, hand, name, 0)
	c.At, c.Length, c.WholeBar, c.Value.Type = bar.Start, bar.Length, true, "whole"
	return c
}

// addChords adds the chords of a bar, and what joins their notes.
func (b *book) addChords(chords []chord) {
	tuplets, arpeggios := map[string]int{}, map[int]int{} // by voice, and by index into Score.Arpeggios
	for _, c := range chords {
		index := len(b.Chords)
		for k := range c.Notes {
			c.Notes[k].ID = b.notes
			b.join(c, k, index, arpeggios)
			b.notes++
		}
		if c.begins {
			tuplets[c.Voice] = index
		}
		if c.ends {
			b.Tuplets = append(b.Tuplets, notation.Tuplet{From: tuplets[c.Voice], To: index, Text: strconv.FormatInt(c.Ratio.Actual, 10)})
		}
		b.Chords = append(b.Chords, c.Chord)
	}
}

// join ties the note at k of a chord to the one before it, and sets the arpeggio
// sign that it stands under.
func (b *book) join(c chord, k, index int, arpeggios map[int]int) {
	id, t := c.Notes[k].ID, c.tones[k]
	if before, ok := b.tied[tiedKey{c.Hand, t.pitch, c.At}]; ok && t.from {
		b.Ties = append(b.Ties, notation.Tie{From: before, To: id})
	}
	if t.to {
		b.tied[tiedKey{c.Hand, t.pitch, c.End()}] = id
	}
	if t.arpeggio == nil {
		return
	}
	at, known := arpeggios[*t.arpeggio]
	if !known {
		at = len(b.Arpeggios)
		arpeggios[*t.arpeggio] = at
		arrow := ""
		if b.piece.Score.Arpeggios[*t.arpeggio].Down {
			arrow = "down"
		}
		b.Arpeggios = append(b.Arpeggios, notation.Arpeggio{Arrow: arrow})
	}
	s := &b.Arpeggios[at]
	s.Notes = append(s.Notes, id)
	if !slices.Contains(s.Chords, index) {
		s.Chords = append(s.Chords, index)
	}
}
