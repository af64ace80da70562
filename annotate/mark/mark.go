// Package mark writes what was found into the score itself: at each hot spot a
// short text, a bracket over its bars, and the notes involved in a colour; and
// the teacher's own remarks as words at their bars.
//
// Every mark is announced by a processing instruction of its own,
//
//	<?hardbars words 3 · 4 over 3?>            before a <direction> with that text
//	<?hardbars bracket start 1?>               before a <direction> with that end of a bracket
//	<?hardbars color #D55E00?>                 first in a <note>
//
// so that Unmark finds the marks again, takes away exactly what was added, and
// leaves alone whatever somebody has changed since. Nothing that was in the
// score is moved, renamed or reindented. For programs that drop processing
// instructions when they save, words also carry a signature that nobody sees.
//
// Why a place is hard, the kinds of hot spot and files are kept out.
package mark

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/annotate/palette"
	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/score/musicxml"
)

// Options choose which marks are written.
type Options struct {
	Shortlist bool // the passages of the shortlist alone, not every hot spot

	Words    bool // "3 · 4 over 3": the spot's number and what it is
	Brackets bool // over the spot's bars, or under them for the left hand
	Colour   bool // of the notes that make it hard, and of the spot's words and bracket

	Remarks *remarks.Remarks // the teacher's own, as words at their bars, whatever else is written; nil for none
}

// ParseOptions reads a list such as "words,brackets,colour", or "all", which is
// every hot spot and not the shortlist alone; "all,colour" names what of each.
func ParseOptions(list string) (Options, error) {
	o := Options{Shortlist: true}
	for _, name := range strings.Split(list, ",") {
		switch strings.TrimSpace(name) {
		case "words":
			o.Words = true
		case "brackets":
			o.Brackets = true
		case "colour", "color":
			o.Colour = true
		case "all":
			o.Shortlist = false
		default:
			return Options{}, fmt.Errorf("%q is not a mark; choose from words, brackets and colour, with commas between, or all for every hot spot", name)
		}
	}
	if !o.Words && !o.Brackets && !o.Colour {
		o.Words, o.Brackets, o.Colour = true, true, true
	}
	return o, nil
}

// Mark writes the report's hot spots, and the remarks, into the score that the
// report was made from. Marks that are there already are removed first, so that
// marking again replaces them. The words and bracket of a right-hand or two-handed spot
// stand above the staff where the right hand mostly plays, those of a
// left-hand spot below the left hand's. What is past the player's comfort has
// bold words and a solid line, what is within it plain words and a dashed line.
//
// A part can hold 6 brackets at once, from MusicXML 4.0 on 16, those of the
// score included; a spot for which none is left goes without a bracket. Where
// spots share a note it takes the colour of the highest-ranked.
//
// The error says that the report and the file do not belong together; the
// file is then as it was.
func Mark(f *musicxml.File, r *detect.Report, o Options) error {
	if err := check(f, r); err != nil {
		return err
	}
	Unmark(f)
	p := newPage(f, r.Score)
	var marks []mark
	if o.Shortlist {
		marks = p.passages(r, o)
	}
	for i := range r.Spots {
		if sp := &r.Spots[i]; !o.Shortlist || sp.Kind == remarks.Added {
			marks = append(marks, p.marks(sp, o)...)
		}
	}
	if o.Remarks != nil {
		marks = append(marks, p.remarks(o.Remarks.All)...)
	}
	insert(marks)
	switch {
	case o.Colour && o.Shortlist:
		p.colourPassages(r)
	case o.Colour:
		p.colourNotes(r.Spots)
	}
	return nil
}

// check finds indices that do not belong to the file or its score.
func check(f *musicxml.File, r *detect.Report) error {
	if r == nil || r.Score == nil {
		return errors.New("there is no report to mark the score from; analyze the score first")
	}
	elements := len(f.NoteElements())
	for _, n := range r.Score.Notes {
		for _, h := range n.Heads {
			if h.ID < 0 || h.ID >= elements {
				return fmt.Errorf("the report was made from another score: it speaks of note %d, and %s has %d; analyze %[2]s and mark it then", h.ID+1, f.Name, elements)
			}
		}
	}
	for _, s := range r.Spots {
		for _, occ := range s.Occurrences {
			for _, n := range occ.Notes {
				if n < 0 || n >= len(r.Score.Notes) {
					return fmt.Errorf("hot spot %s speaks of note %d, and the score of the report has %d; analyze %s again", s.ID, n+1, len(r.Score.Notes), f.Name)
				}
			}
		}
	}
	return nil
}

// mark is one direction on its way into the page.
type mark struct {
	anchor
	other place          // the other end of the spot
	drawn *etree.Element // the <direction>
	name  string         // what announces it
}

// marks are the words and the bracket of one hot spot; none where it has no
// notes.
func (p *page) marks(s *detect.Spot, o Options) []mark {
	from, to, ok := p.extent(s)
	if !ok {
		return nil
	}
	d := drawing{placement: placement(s.Hand), staff: p.staff(s.Hand, from), strong: s.PastComfort()}
	if o.Colour {
		d.colour = palette.Of(s.Kind)
	}
	over := p.bracket(&d, o, from, to)
	var marks []mark
	if o.Words || s.Kind == remarks.Added { // what somebody says is always there
		marks = append(marks, d.words(from, to.place, s.ID+" · "+s.Label))
	}
	return append(marks, over...)
}

// bracket is a bracket from one place to another, as far as one is wanted and
// free. Where programs would draw it backward it takes in all of the bar.
func (p *page) bracket(d *drawing, o Options, from, to anchor) []mark {
	if !o.Brackets {
		return nil
	}
	if p.brackets.backward(end{from, false}) {
		from = p.barBegin(from)
	}
	if p.brackets.backward(end{to, true}) || to.at == from.at {
		to = p.barEnd(to)
	}
	var number int
	if number, d.bracketed = p.brackets.take(from, to); !d.bracketed {
		return nil
	}
	return []mark{d.bracket(from, to.place, "start", number), d.bracket(to, from.place, "stop", number)}
}

// insert puts the marks into the page, in the order of their places. Of spots
// that begin at one place the shortest comes first, nearest to the staff, as
// an engraver stacks them; of those that end at one place, the one that began
// first. It works from the end, so that the places before stay what they are.
func insert(marks []mark) {
	slices.SortStableFunc(marks, func(a, b mark) int {
		return cmp.Or(a.compare(b.place), a.other.compare(b.other))
	})
	for _, m := range slices.Backward(marks) {
		bar := m.note.Parent()
		lineBreak := breakBefore(bar, m.note.Index())
		bar.InsertChildAt(m.token, m.drawn)
		insertSpace(bar, m.token, lineBreak)
		announce(bar, m.token, lineBreak, m.name)
	}
}
