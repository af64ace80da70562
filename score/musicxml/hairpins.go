package musicxml

import (
	"slices"
	"sort"
	"strconv"

	"github.com/beevik/etree"

	"hardbars/score"
)

// lineKey tells hairpins, and dashes, apart that are open at the same time.
type lineKey struct{ tag, staff, number string }

func (d *direction) lineKey(sign *etree.Element) lineKey {
	return lineKey{sign.Tag, strconv.Itoa(d.staff), sign.SelectAttrValue("number", "1")}
}

// readHairpins adds hairpins and what words say in their place to s.Hairpins.
// At one place the lines that end come before those that begin, whatever the
// file's order.
func readHairpins(s *score.Score, all []*direction, st staves) {
	open := map[lineKey][]int{} // indices into s.Hairpins
	for here := range byPlace(all, func(d *direction) score.Rat { return d.at }) {
		for _, d := range here {
			d.endHairpins(s, open)
		}
		for _, d := range here {
			d.beginHairpins(s, open, st)
		}
	}
	sort.SliceStable(s.Hairpins, func(i, j int) bool { return s.Hairpins[i].From.Less(s.Hairpins[j].From) })
}

// endHairpins ends the line that was begun last. Some writers use one number for
// all lines and let them overlap: then the earlier has ended where the later began.
func (d *direction) endHairpins(s *score.Score, open map[lineKey][]int) {
	for _, sign := range d.signs {
		if sign.Tag != "wedge" && sign.Tag != "dashes" || sign.SelectAttrValue("type", "") != "stop" {
			continue
		}
		key := d.lineKey(sign)
		for staff := 0; len(open[key]) == 0 && staff <= maxStaves; staff++ { // some end it on another staff
			key.staff = strconv.Itoa(staff)
		}
		if lines := open[key]; len(lines) > 0 {
			last := len(lines) - 1
			endHairpin(&s.Hairpins[lines[last]], d.at)
			open[key] = lines[:last]
		}
	}
}

// endHairpin ends a hairpin that has no end yet.
func endHairpin(hairpin *score.Hairpin, at score.Rat) {
	if hairpin.To == hairpin.From {
		hairpin.To = at
	}
}

// beginHairpins also lets dashes continue the word at the same place.
func (d *direction) beginHairpins(s *score.Score, open map[lineKey][]int, st staves) {
	if growing, ok := d.phrase.hairpin(); ok {
		d.read = true
		s.Hairpins = append(s.Hairpins, score.Hairpin{From: d.at, To: d.at, Hand: st.wordScope(d).hand(), Growing: growing})
	}
	for _, sign := range d.signs {
		switch kind := sign.SelectAttrValue("type", ""); {
		case sign.Tag == "wedge" && (kind == "crescendo" || kind == "diminuendo"):
			key := d.lineKey(sign)
			if lines := open[key]; len(lines) > 0 {
				endHairpin(&s.Hairpins[lines[len(lines)-1]], d.at)
			}
			open[key] = append(open[key], len(s.Hairpins))
			s.Hairpins = append(s.Hairpins, score.Hairpin{From: d.at, To: d.at, Hand: st.scope(d, sign).hand(), Growing: kind == "crescendo"})
		case sign.Tag == "dashes" && kind == "start":
			if last := len(s.Hairpins) - 1; last >= 0 && s.Hairpins[last].From == d.at {
				key := d.lineKey(sign)
				open[key] = append(open[key], last)
			}
		}
	}
}

// hairpin reads words that name a gradual change of loudness.
func (p phrase) hairpin() (growing, ok bool) {
	switch {
	case p.stem("decresc", "dimin", "smorz", "perden", "mancan") || slices.ContainsFunc(p, func(word string) bool {
		return slices.Contains([]string{"dim", "morendo", "calando", "estinguendo", "decr"}, word)
	}) || p.says("en diminuant", "al niente", "sempre piu p", "sempre piu piano"):
		return false, true
	case p.stem("cresc") || p.says("cre", "cres", "en augmentant", "augmentez", "sempre piu f", "sempre piu forte"):
		return true, true
	}
	return false, false
}
