package musicxml

import (
	"slices"
	"sort"
	"strconv"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// lineKey tells hairpins, and dashes, apart that are open at the same time.
type lineKey struct{ tag, staff, number string }

func (d *direction) lineKey(sign *etree.Element) lineKey {
	return lineKey{sign.Tag, strconv.Itoa(d.staff), sign.SelectAttrValue("number", "1")}
}

// hairpinEnd is where a hairpin ends, and the sign that says so; nil where none
// does.
type hairpinEnd struct {
	at   score.Rat
	sign *etree.Element
}

// hairpinEnds finds where the hairpins end, by the sign that begins each, as
// notation.HairpinEnds has it. A sign that ends nothing ends itself. The
// directions are by place.
func hairpinEnds(all []*direction, bars []score.Bar) map[*etree.Element]hairpinEnd {
	var signs []notation.HairpinSign
	var elems []*etree.Element
	for _, d := range all {
		for _, sign := range d.signs {
			kind := sign.SelectAttrValue("type", "")
			if d.staff < 0 || sign.Tag != "wedge" || kind != "crescendo" && kind != "diminuendo" && kind != "stop" {
				continue
			}
			signs = append(signs, notation.HairpinSign{At: d.at, Staff: d.staff, Number: sign.SelectAttrValue("number", "1"), Ends: kind == "stop"})
			elems = append(elems, sign)
		}
	}
	s := score.Score{Bars: bars}
	found, loose := notation.HairpinEnds(signs, func(at score.Rat) score.Rat { return bars[s.BarAt(at)].End() })
	ends := map[*etree.Element]hairpinEnd{}
	for i, end := range found {
		ends[elems[i]] = hairpinEnd{at: end.At}
		if end.By >= 0 {
			ends[elems[i]] = hairpinEnd{end.At, elems[end.By]}
		}
	}
	for _, i := range loose {
		ends[elems[i]] = hairpinEnd{signs[i].At, elems[i]}
	}
	return ends
}

// readHairpins adds hairpins and what words say in their place to s.Hairpins.
// Dashes show how far the word at the same place holds.
func readHairpins(s *score.Score, all []*direction, st staves) {
	ends := hairpinEnds(all, s.Bars)
	dashed := map[lineKey]int{} // index into s.Hairpins
	for here := range byPlace(all, func(d *direction) score.Rat { return d.at }) {
		for _, d := range here {
			d.endDashes(s, dashed)
		}
		for _, d := range here {
			d.beginHairpins(s, ends, dashed, st)
		}
	}
	sort.SliceStable(s.Hairpins, func(i, j int) bool { return s.Hairpins[i].From.Less(s.Hairpins[j].From) })
}

func (d *direction) endDashes(s *score.Score, dashed map[lineKey]int) {
	for _, sign := range d.signs {
		if i, ok := dashed[d.lineKey(sign)]; ok && sign.SelectAttrValue("type", "") == "stop" {
			s.Hairpins[i].To = d.at
			delete(dashed, d.lineKey(sign))
		}
	}
}

func (d *direction) beginHairpins(s *score.Score, ends map[*etree.Element]hairpinEnd, dashed map[lineKey]int, st staves) {
	if growing, ok := d.phrase.hairpin(); ok {
		d.read = true
		s.Hairpins = append(s.Hairpins, score.Hairpin{From: d.at, To: d.at, Hand: st.wordScope(d).hand(), Growing: growing})
	}
	for _, sign := range d.signs {
		switch kind := sign.SelectAttrValue("type", ""); {
		case sign.Tag == "wedge" && kind != "stop":
			if end, ok := ends[sign]; ok {
				s.Hairpins = append(s.Hairpins, score.Hairpin{From: d.at, To: end.at, Hand: st.scope(d, sign).hand(), Growing: kind == "crescendo"})
			}
		case sign.Tag == "dashes" && kind == "start":
			if last := len(s.Hairpins) - 1; last >= 0 && s.Hairpins[last].From == d.at {
				dashed[d.lineKey(sign)] = last
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
