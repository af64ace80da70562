package musicxml

import (
	"errors"
	"fmt"
	"iter"
	"slices"
	"sort"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/perform"
)

// reader gathers what stands on the page before it is put into a Score.
type reader struct {
	ids    map[*etree.Element]int // <note> elements by their number in the file
	pair   bool                   // the piano is two one-staff parts
	height int                    // how many staves the piano has, once it has been read
	bars   []draft
	notes  []pageNote // of the piano, in the order of the file
	apart  []pageNote // the same of what is written but not played
	items  []placed   // what is not a note
	warner warner
	told   map[string]bool

	reading int // the bar that is being read, index into bars
}

// Score reads the piano part. The error is one sentence that names the file.
func (f *File) Score(o Options) (*score.Score, error) {
	r, s, err := f.page(o)
	if err != nil {
		return nil, err
	}
	s.Rests = r.rests()
	readArpeggios(s, r.notes)
	s.Warnings = append(s.Warnings, f.Warnings...)
	s.Warnings = append(s.Warnings, r.warner.warnings(s.Bars)...)
	readDirections(s, r.items)
	_, odd := perform.Order(s)
	s.Warnings = append(s.Warnings, odd...)
	return s, nil
}

// page is what stands on the page, and a Score's bars and notes: of its own for
// whoever asks. The music is walked through once for the same options, whatever is
// asked of it, and as it was before any marks. The error is one sentence that names
// the file.
func (f *File) page(o Options) (*reader, *score.Score, error) {
	if f.last == nil || f.last.options != o {
		r, s, err := f.walk(o)
		if err != nil {
			return nil, nil, err
		}
		f.last = &pageRead{o, r, s}
	}
	s := *f.last.score
	s.Bars, s.Notes = slices.Clone(s.Bars), slices.Clone(s.Notes)
	return f.last.reader, &s, nil
}

// pageRead is what a walk through the music found.
type pageRead struct {
	options Options
	reader  *reader
	score   *score.Score
}

// walk goes through the music from its first element to its last.
func (f *File) walk(o Options) (_ *reader, _ *score.Score, err error) {
	f.walks++
	piano, err := f.pianoParts(o.Part)
	if err == nil {
		err = f.checkSize(piano)
	}
	if err != nil {
		return nil, nil, err
	}
	r := &reader{ids: make(map[*etree.Element]int, len(f.NoteElements())), pair: len(piano) > 1, told: map[string]bool{}}
	for i, elem := range f.NoteElements() {
		r.ids[elem] = i
	}
	defer func() {
		if err = r.overflown(recover(), err); err != nil {
			err = fmt.Errorf("%s: %w", f.Name, err)
		}
	}()
	r.notes = make([]pageNote, 0, len(r.ids))
	if why := piano[0].assumed; why != "" {
		r.warner.add(wholeFile, "%s", why)
	}
	staves := r.readPiano(piano)
	for _, n := range staves {
		r.height += n
	}
	r.readOthers(piano, f.parts())
	s := &score.Score{Title: f.title(), Composer: composer(f.Doc.Root())}
	if err := r.checkPlaces(); err != nil {
		return nil, nil, err
	}
	r.snap()
	s.Bars = r.layBars()
	r.settle(s.Bars)
	r.leaveOut()
	if !r.holdsNotes() {
		return nil, nil, errors.New("the piano part holds no notes; choose another part with --part or another file")
	}
	r.applyOctaveLines(s.End())
	r.assignHands(s, piano, staves)
	s.Notes = r.soundingNotes()
	return r, s, nil
}

// readPiano reads the piano's parts and returns how many staves each has.
func (r *reader) readPiano(piano []partView) (staves []int) {
	above := 0
	for i, part := range piano {
		if part.assumed != "" {
			r.warner.add(wholeFile, "%s", part.assumed)
		}
		p := &partReader{reader: r, piano: true, lead: i == 0, part: i, upperStaves: above}
		p.read(part.measures)
		staves = append(staves, p.staves)
		above += p.staves
	}
	return staves
}

// readOthers reads the other parts for the length of the bars, and the first
// part of the score for its tempo marks: they stand above the top staff.
func (r *reader) readOthers(piano, all []partView) {
	for i, part := range all {
		if !contains(piano, part) {
			p := &partReader{reader: r, tempoOnly: i == 0}
			p.read(part.measures)
		}
	}
}

func contains(parts []partView, part partView) bool {
	for _, p := range parts {
		if p.id == part.id && len(p.measures) > 0 && len(part.measures) > 0 && p.measures[0] == part.measures[0] {
			return true
		}
	}
	return false
}

func (r *reader) holdsNotes() bool {
	for i := range r.notes {
		if !r.notes[i].rest {
			return true
		}
	}
	return false
}

// written goes through all that is written as notes and rests, what is not
// played last.
func (r *reader) written() iter.Seq[*pageNote] {
	return func(yield func(*pageNote) bool) {
		for _, notes := range [][]pageNote{r.notes, r.apart} {
			for i := range notes {
				if !yield(&notes[i]) {
					return
				}
			}
		}
	}
}

// settle turns places in a bar into places in the piece. What rounding has
// pushed over the barline ends at it.
func (r *reader) settle(bars []score.Bar) {
	for w := range r.written() {
		bar := bars[w.Bar]
		if w.wholeBar {
			w.Onset, w.Length = score.Rat{}, bar.Length
		}
		w.Onset = score.Min(w.Onset, bar.Length)
		w.Length = score.Min(w.Length, bar.Length.Sub(w.Onset))
		w.Onset = w.Onset.Add(bar.Start)
	}
	for i := range r.items {
		item := &r.items[i]
		bar := bars[item.bar]
		item.at = bar.Start.Add(score.Min(item.at, bar.Length))
		item.soundAt = bar.Start.Add(score.Min(item.soundAt, bar.Length))
	}
}

// rests lists the written rests by onset.
func (r *reader) rests() []score.Rest {
	var rests []score.Rest
	for _, w := range r.notes {
		if w.rest && !w.Hidden {
			rests = append(rests, score.Rest{Hand: w.hand, Onset: w.Onset, Length: w.Length, Voice: w.Voice, Staff: w.Staff})
		}
	}
	sort.SliceStable(rests, func(i, j int) bool {
		a, b := &rests[i], &rests[j]
		if a.Onset != b.Onset {
			return a.Onset.Less(b.Onset)
		}
		return a.Hand < b.Hand
	})
	return rests
}
