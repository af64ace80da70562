package drill

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
)

// Write writes the drills of some hot spots of a report, in their order, as one
// MusicXML 4.0 score for piano.
//
// The error says which lengths are too fine to be written, or comes from w.
func Write(w io.Writer, r *detect.Report, spots []*detect.Spot) error {
	music := Music(r, spots)
	err := tooShort(music)
	if err == nil {
		err = musicxml.Encode(w, music)
	}
	if errors.Is(err, musicxml.ErrTooFine) {
		return fmt.Errorf("practice %w; ask for fewer places at a time with --spot", err)
	}
	return err
}

// shortest is the shortest note or rest that a practice score has, in quarters:
// a 1024th. What is shorter comes of arithmetic, and other programs do not read it.
var shortest = score.R(1, 256)

// tooShort is the error of a score with a shorter one.
func tooShort(music *notation.Score) error {
	for i := range music.Chords {
		if c := &music.Chords[i]; c.Length.Num() > 0 && c.Length.Less(shortest) {
			return fmt.Errorf("bar %d %w (%s quarters)", c.Bar+1, musicxml.ErrTooFine, c.Length)
		}
	}
	return nil
}

// TooFine reports whether the drills of some hot spots cannot be written, since
// they have lengths that are no note values beside each other.
func TooFine(r *detect.Report, spots ...*detect.Spot) bool {
	return errors.Is(Write(io.Discard, r, spots), musicxml.ErrTooFine)
}

// Music is the drills of some hot spots of a report, in their order. The right
// hand has the upper staff, whichever it is on in the piece. The bars have no
// numbers, and the headings name those of the piece.
func Music(r *detect.Report, spots []*detect.Spot) *notation.Score {
	b := newBook(newPiece(r))
	for _, spot := range spots {
		b.addSpot(newPassage(b.piece, spot))
	}
	b.finish()
	return b.Score
}

func newBook(p *piece) *book {
	return &book{piece: p, Score: &notation.Score{Title: cmp.Or(p.Score.Title, "Drills"), Composer: p.Score.Composer, Staves: 2}}
}

// finish puts the tables in order and adds what goes by rule.
func (b *book) finish() {
	slices.SortStableFunc(b.Tuplets, func(x, y notation.Tuplet) int { return cmp.Compare(x.From, y.From) })
	slices.SortStableFunc(b.Signs, func(x, y notation.Sign) int { return cmp.Or(x.At.Cmp(y.At), cmp.Compare(x.Staff, y.Staff)) })
	slices.SortStableFunc(b.Lines, func(x, y notation.Line) int { return cmp.Or(x.From.Cmp(y.From), cmp.Compare(x.Staff, y.Staff)) })
	b.Beam()
	for i := range b.Tuplets {
		t := &b.Tuplets[i]
		t.Bracket = !b.OneBeam(t.From, t.To)
	}
	b.AddAccidentals()
}

// book is a practice score as it is being written.
type book struct {
	*piece
	*notation.Score
	notes int     // how many have been written
	last  bar     // the one before
	clefs [2]clef // in force, by score.Hand
	exerciseLines
}

// exerciseLines are what goes on from bar to bar of an exercise.
type exerciseLines struct {
	octaves [2]int // index into Lines of the octave line over the bar before, by score.Hand
	pedal   int    // the same of the pedal line
	tied    map[tiedKey]int
}

// newExercise ends what goes on from bar to bar.
func (b *book) newExercise() {
	b.exerciseLines = exerciseLines{octaves: [2]int{none, none}, pedal: none, tied: map[tiedKey]int{}}
}

// none is no index.
const none = -1

// tiedKey is where a note begins that is tied to the one before.
type tiedKey struct {
	hand  score.Hand
	pitch score.Pitch
	at    score.Rat
}

func (b *book) addSpot(g *passage) {
	for i, e := range g.exercises() {
		first := len(b.Bars)
		b.newExercise()
		for _, music := range e.bars {
			b.addBar(music)
		}
		b.head(&b.Bars[first], e)
		if i == 0 {
			b.headline(b.Bars[first].Start, g.heading(), 13)
			if first > 0 {
				b.Bars[first].Break = notation.PageBreak
			}
		}
		b.Bars[first].Left = notation.Barline{Style: "heavy-light", Repeat: true}
		b.Bars[len(b.Bars)-1].Right = notation.Barline{Style: "light-heavy", Repeat: true}
	}
}

// head writes the title and the tempo of an exercise, the nearest to the staff
// first.
func (b *book) head(first *notation.Bar, e exercise) {
	beat, _ := notation.ValueOf(e.pace.Beat)
	b.Signs = append(b.Signs, notation.Sign{
		Kind: notation.Tempo, At: first.Start, Staff: 1, Side: notation.Above, Beat: beat, After: strconv.Itoa(e.pace.PerMinute),
	})
	b.headline(first.Start, e.title, 10)
	if !e.sameLine && len(b.Bars) > len(e.bars) {
		first.Break = notation.LineBreak
	}
}

// headline writes a heading above the upper staff, in letters of a size in points.
func (b *book) headline(at score.Rat, text string, size int) {
	b.Signs = append(b.Signs, notation.Sign{Kind: notation.Words, At: at, Staff: 1, Side: notation.Above, Text: text, Bold: true, Size: size})
}

// heading names a hot spot as the study sheet and the marked score do.
func (g *passage) heading() string {
	bars := g.barsNamed(g.spot.FirstBar, g.spot.LastBar)
	if g.first != g.spot.FirstBar || g.last != g.spot.LastBar {
		bars = fmt.Sprintf("%s, the hardest of %s", g.barsNamed(g.first, g.last), strings.TrimPrefix(bars, "bars "))
	}
	return fmt.Sprintf("%s · %s, %s: %s", g.spot.ID, sentence(bars), g.spot.Hand.Name(), g.spot.Label)
}

// addBar writes one full bar.
func (b *book) addBar(music bar) {
	at := score.Rat{}
	if n := len(b.Bars); n > 0 {
		at = b.Bars[n-1].End()
	}
	b.signatures(music, at)
	b.Bars = append(b.Bars, notation.Bar{Start: at, Length: music.time.Length, Time: music.time})
	var chords []chord
	name := 0
	for hand, voices := range music.hands {
		octaves := b.clef(score.Hand(hand), music.pitches(score.Hand(hand)), at)
		name = max(name, 4*hand) // the left hand's voices from 5 on, or behind the right hand's
		for _, v := range voices {
			name++
			chords = append(chords, b.voice(v, score.Hand(hand), strconv.Itoa(name), octaves)...)
		}
		if len(voices) == 0 {
			name++
			chords = append(chords, b.wholeRest(score.Hand(hand), strconv.Itoa(name)))
		}
	}
	slices.SortStableFunc(chords, func(a, b chord) int { return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Staff, b.Staff)) })
	b.addChords(chords)
	for _, m := range music.marks {
		b.mark(m, at.Add(m.at))
	}
	b.last = music
}

// signatures writes what is no longer as it was in the bar before.
func (b *book) signatures(music bar, at score.Rat) {
	if len(b.Bars) == 0 || music.key != b.last.key {
		b.Keys = append(b.Keys, notation.Key{At: at, Fifths: music.key.Fifths, Mode: music.key.Mode})
	}
	if len(b.Bars) == 0 || music.time != b.last.time {
		beats, types := notation.Fractions(music.time)
		b.Times = append(b.Times, notation.Time{At: at, Beats: beats, Types: types})
	}
}

// clef chooses the clef of a staff in a bar, and tells how many octaves below
// their sound its notes are printed under an octave line.
func (b *book) clef(hand score.Hand, pitches []score.Pitch, at score.Rat) int {
	index, was := len(b.Bars)-1, b.clefs[hand]
	if index == 0 {
		was = [2]clef{treble, bass}[hand]
	}
	now := was.next(hand, pitches)
	if index == 0 || now != was {
		b.Clefs = append(b.Clefs, notation.Clef{At: at, Bar: index, Staff: int(hand) + 1, Sign: now.sign, Line: now.line})
	}
	b.clefs[hand] = now
	octaves := now.octaves(pitches)
	b.octaveLine(hand, octaves, b.Bars[index])
	return octaves
}

// octaveLine lets an octave line stand over a bar: the one over the bar before,
// or a new one.
func (b *book) octaveLine(hand score.Hand, octaves int, over notation.Bar) {
	line := notation.Line{Kind: notation.OctaveUp, From: over.Start, To: over.End(), Staff: int(hand) + 1, Side: notation.Above, Text: "8"}
	if octaves < 0 {
		line.Kind, line.Side = notation.OctaveDown, notation.Below
	}
	switch before := b.octaves[hand]; {
	case octaves == 0:
		b.octaves[hand] = none
	case before != none && b.Lines[before].Kind == line.Kind:
		b.Lines[before].To = line.To
	default:
		b.octaves[hand] = len(b.Lines)
		b.Lines = append(b.Lines, line)
	}
}

// mark writes a dynamic, or a pedal going down or up: where it does both at one
// place the line goes on, and the pedal is changed.
func (b *book) mark(m mark, at score.Rat) {
	staff := int(m.hand) + 1
	switch {
	case m.dynamic != "":
		b.Signs = append(b.Signs, notation.Sign{Kind: notation.Dynamic, At: at, Staff: staff, Side: notation.Below, Text: m.dynamic})
	case m.pedal == "stop":
		b.Lines[b.pedal].To = at
	case b.pedal != none && b.Lines[b.pedal].To == at:
		b.Lines[b.pedal].Changes = append(b.Lines[b.pedal].Changes, at)
	default:
		b.pedal = len(b.Lines)
		b.Lines = append(b.Lines, notation.Line{Kind: notation.PedalLine, From: at, To: at, Staff: staff, Side: notation.Below})
	}
}
