package musicxml

import (
	"iter"
	"slices"
	"sort"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// direction is a <direction>, or a <sound> that stands alone.
type direction struct {
	placed
	signs  []*etree.Element // what stands in its <direction-type>s, in order
	sounds *etree.Element   // its <sound>; nil where it has none
	text   string           // its words as a reader sees them; "" for none
	phrase phrase           // the same, to be understood
	read   bool             // the words have been understood and are no mere words
}

// readDirections fills in what the words and signs of the score say: tempo,
// dynamics, pedals, the order of play, and the words that are none of these.
// The items are in file order. s.Bars and s.Notes must be filled.
//
// Dynamics that hang on a note, in <notations>, are not among the items.
func readDirections(s *score.Score, items []placed) {
	var w warner
	all := directions(items)
	readTempos(s, all, &w)
	here := slices.DeleteFunc(all, func(d *direction) bool { return d.staff < 0 })
	readDynamics(s, here)
	readPedals(s, here, &w)
	readRepeats(s, items)
	readJumps(s, items, here)
	readWords(s, here)
	s.Warnings = append(s.Warnings, w.warnings(s.Bars)...)
}

// directions picks out the directions and sounds, by place; file order where
// the place is the same.
func directions(items []placed) []*direction {
	var all []*direction
	for _, item := range items {
		switch item.elem.Tag {
		case "direction":
			all = append(all, newDirection(item))
		case "sound":
			all = append(all, &direction{placed: item, sounds: item.elem})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].at.Less(all[j].at) })
	return all
}

// byPlace goes through what is sorted by place, all that stands at one place at
// a time.
func byPlace[T any](sorted []T, at func(T) score.Rat) iter.Seq[[]T] {
	return func(yield func([]T) bool) {
		for len(sorted) > 0 {
			n := 1
			for n < len(sorted) && at(sorted[n]) == at(sorted[0]) {
				n++
			}
			if !yield(sorted[:n]) {
				return
			}
			sorted = sorted[n:]
		}
	}
}

func newDirection(item placed) *direction {
	d := &direction{placed: item, sounds: item.elem.SelectElement("sound")}
	var words []string
	for t := range item.elem.SelectElementsSeq("direction-type") {
		for sign := range t.ChildElementsSeq() {
			d.signs = append(d.signs, sign)
			if !hidden(sign) {
				words = append(words, wordsOf(sign))
			}
		}
	}
	d.text = plain(strings.Join(words, " "))
	d.phrase = newPhrase(d.text)
	return d
}

// wordsOf is the text of <words>, and of a <symbol> that stands among them.
func wordsOf(sign *etree.Element) string {
	switch sign.Tag {
	case "words":
		return sign.Text()
	case "symbol":
		return symbols[strings.TrimSpace(sign.Text())]
	}
	return ""
}

func hidden(sign *etree.Element) bool { return sign.SelectAttrValue("print-object", "yes") == "no" }

// soundAttr is an attribute of the direction's <sound>, "" where it has none.
func (d *direction) soundAttr(name string) string {
	if d.sounds == nil {
		return ""
	}
	return strings.TrimSpace(d.sounds.SelectAttrValue(name, ""))
}

// above reports whether a sign of the direction stands above its staff: by the
// placement, or else by the sign's distance from the top line of the staff.
func (d *direction) above(sign *etree.Element) bool {
	if p := d.elem.SelectAttrValue("placement", ""); p != "" {
		return p == "above"
	}
	y := strings.TrimSpace(sign.SelectAttrValue("default-y", ""))
	return y != "" && y != "0" && !strings.HasPrefix(y, "-")
}

// readWords keeps the words that no other reader has understood.
func readWords(s *score.Score, all []*direction) {
	for _, d := range all {
		if d.text != "" && !d.read {
			s.Words = append(s.Words, d.words())
		}
		for _, sign := range d.signs {
			if sign.Tag == "rehearsal" && !hidden(sign) {
				s.Words = append(s.Words, score.Text{At: d.at, Staff: d.staff, Text: plain(sign.Text())})
			}
		}
	}
	sort.SliceStable(s.Words, func(i, j int) bool { return s.Words[i].At.Less(s.Words[j].At) })
}

// words is the direction's text at its place.
func (d *direction) words() score.Text {
	return score.Text{At: d.at, Staff: d.staff, Text: d.text}
}
