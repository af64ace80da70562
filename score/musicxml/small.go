package musicxml

import (
	"fmt"
	"slices"
	"strings"
)

// Small notes, <cue>, are mostly played: cadenzas, recitatives, an étude's
// accompaniment in small type. They are not where they plainly show another
// instrument or another way of playing the bar; and what is hidden to let a
// program sound an ornament's sign is no note of its own.

// Why a written note is not played.
const (
	unpitched   = "without a pitch"
	spelledOut  = "hidden to spell out an ornament"
	hiddenSmall = "small and hidden"
	others      = "small, showing another instrument"
	alternative = "small, showing another way to play"
)

// leaveOut takes the notes that are not played from r.notes to r.apart, and tells
// how many and where.
func (r *reader) leaveOut() {
	r.markHidden()
	r.markShown()
	bars := map[string][]int{} // one entry a note
	r.notes = slices.DeleteFunc(r.notes, func(w pageNote) bool {
		apart := w.why != "" || w.cue && w.rest // small notes' rests are no rests of the player's
		if apart {
			r.apart = append(r.apart, w)
		}
		if w.why != "" || w.cue && !w.rest {
			bars[w.why] = append(bars[w.why], w.Bar)
		}
		return apart
	})
	if in := bars[""]; in != nil {
		r.warner.add(wholeFile, "read as played: %s (%s)", counted(len(in), "small note"), r.barList(in))
	}
	for _, why := range []string{unpitched, spelledOut, hiddenSmall, others, alternative} {
		if in := bars[why]; in != nil {
			r.warner.add(wholeFile, "left out: %s (%s), %s", counted(len(in), "note"), r.barList(in), why)
		}
	}
}

// markHidden marks hidden small notes, and hidden notes within the time and the
// reach of an ornament's sign, with what is hidden on the same stems.
func (r *reader) markHidden() {
	signs := r.ornamentSigns()
	type stem struct{ part, chord int }
	chords := map[stem]string{}
	for i := range r.notes {
		switch w := &r.notes[i]; {
		case !w.Hidden || w.rest:
		case signs.cover(w):
			chords[stem{w.part, w.chord}] = spelledOut
		case w.cue && chords[stem{w.part, w.chord}] == "":
			chords[stem{w.part, w.chord}] = hiddenSmall
		}
	}
	for i := range r.notes {
		if w := &r.notes[i]; w.Hidden && !w.rest && w.why == "" {
			w.why = chords[stem{w.part, w.chord}]
		}
	}
}

// ornamentSigns are the notes with an ornament's sign, by bar and staff.
type ornamentSigns map[staffInBar][]*pageNote

func (r *reader) ornamentSigns() ornamentSigns {
	signs := ornamentSigns{}
	var tied []*pageNote // with a sign, and tied on
	for i := range r.notes {
		w := &r.notes[i]
		if w.rest || w.Hidden && !w.cue || w.grace {
			continue
		}
		goesOn := w.tieStop && slices.ContainsFunc(tied, func(t *pageNote) bool {
			return t.note.Pitch == w.note.Pitch && t.end() == w.Onset
		})
		if len(w.note.Ornaments) == 0 && !goesOn {
			continue
		}
		if place := (staffInBar{w.Bar, w.Staff}); len(signs[place]) < maxOpen {
			signs[place] = append(signs[place], w)
		}
		if w.tieStart {
			tied = append(tied, w)
			tied = tied[max(0, len(tied)-maxOpen):]
		}
	}
	return signs
}

// reach is how far from its note an ornament's other note lies, in semitones.
const reach = 3

// cover reports whether a note lies within the time of a sign on its staff, and on
// the ornament's keys.
func (signs ornamentSigns) cover(w *pageNote) bool {
	return slices.ContainsFunc(signs[staffInBar{w.Bar, w.Staff}], func(sign *pageNote) bool {
		far := w.note.Pitch.MIDI() - sign.note.Pitch.MIDI()
		return sign != w && !w.Onset.Less(sign.Onset) && w.Onset.Less(sign.end()) && -reach <= far && far <= reach
	})
}

// markShown marks the small notes that words, the staff's kind, or a staff with
// nothing but small notes give to somebody else or to another way of playing.
// Words hold as long as small notes follow, bar by bar.
func (r *reader) markShown() {
	why := map[staffInBar]string{}
	for _, item := range r.items {
		if said := saidOfSmall(item); said != "" {
			why[staffInBar{item.bar, max(1, item.staff)}] = said
		}
	}
	full, small := tally{}, map[staffInBar]bool{}
	for i := range r.notes {
		switch w := &r.notes[i]; {
		case w.rest:
		case w.cue:
			small[staffInBar{w.Bar, w.Staff}] = true
		default:
			full[w.Staff]++
		}
	}
	for i := range r.notes {
		w := &r.notes[i]
		if !w.cue || w.rest || w.why != "" {
			continue
		}
		place := staffInBar{w.Bar, w.Staff}
		if full[w.Staff] == 0 && r.height > 2 {
			w.why = alternative
			continue
		}
		if _, known := why[place]; !known && w.Bar > 0 && small[staffInBar{w.Bar - 1, w.Staff}] {
			why[place] = why[staffInBar{w.Bar - 1, w.Staff}]
		}
		w.why = why[place]
	}
}

// saidOfSmall is what a direction, or the kind of a staff, says of small notes.
func saidOfSmall(item placed) string {
	if item.staff < 0 {
		return ""
	}
	switch item.elem.Tag {
	case "attributes":
		for details := range item.elem.SelectElementsSeq("staff-details") {
			if childText(details, "staff-type") == "ossia" {
				return alternative
			}
		}
	case "direction":
		words := newDirection(item)
		switch p := words.phrase; {
		case p.says("ossia", "oppure", "oder", "ou bien", "ad lib alternative") || p.stem("facilit", "alternativ", "simplif"):
			return alternative
		case len(p) <= 3 && !p.gradual() && (saysOther(words.text) || p.says("tutti", "orch", "orchestra", "orchester", "orchestre")):
			return others
		}
	}
	return ""
}

// barList names bars by their numbers, those that follow each other as a range.
func (r *reader) barList(bars []int) string {
	slices.Sort(bars)
	bars = slices.Compact(bars)
	var list []string
	for i := 0; i < len(bars); {
		first := i
		for i++; i < len(bars) && bars[i] == bars[i-1]+1; i++ {
		}
		text := r.bars[bars[first]].number
		if i > first+1 {
			text += "–" + r.bars[bars[i-1]].number
		}
		list = append(list, text)
	}
	if len(bars) == 1 {
		return "bar " + list[0]
	}
	return "bars " + strings.Join(list, ", ")
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
