// Package drill writes practice scores in MusicXML: what to play, bar by full
// bar, to learn a hot spot.
//
// It knows how pianists take a passage apart, and how exact lengths become
// notes, rests, ties, tuplets and beams on two staves. It refuses to know what
// is hard, which is detect's; why a drill helps, which is practice's; and files.
//
// Which drills a hot spot gets follows from its detail: special is the table. A
// kind that is not in it gets the general ones, so a new kind needs nothing
// here. Where no source is named, the ways to practise are common practice.
package drill

import (
	"slices"

	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/detect/kinds/crossrhythm"
	"hardbars/detect/kinds/fastrun"
	"hardbars/detect/kinds/heldandmoving"
	"hardbars/detect/kinds/leap"
	"hardbars/detect/kinds/melodyoveraccompaniment"
	"hardbars/detect/kinds/octaverun"
	"hardbars/detect/kinds/ornament"
	"hardbars/detect/kinds/patternbreak"
	"hardbars/detect/kinds/regrouping"
	"hardbars/detect/kinds/repeatednotes"
	"hardbars/detect/kinds/spreadchord"
	"hardbars/detect/kinds/spreadoctave"
	"hardbars/detect/kinds/widestretch"
	"hardbars/score"
)

// exercises are all drills of a hot spot, in the order of practising.
func (g *passage) exercises() []exercise {
	var all []exercise
	all = append(all, g.apart()...)
	all = append(all, g.special()...)
	all = append(all, g.together()...)
	all = append(all, g.chain()...)
	return append(all, g.ladder()...)
}

// special are the drills of a kind.
func (g *passage) special() []exercise {
	switch d := g.o.Detail.(type) {
	case crossrhythm.Detail:
		return g.crossRhythm(d)
	case leap.Detail:
		return g.leap()
	case detect.PairsDetail, octaverun.Detail:
		return g.outer()
	case melodyoveraccompaniment.Detail:
		return g.melody(d)
	case heldandmoving.Detail:
		return g.held()
	case fastrun.Detail, repeatednotes.Detail, regrouping.Detail, patternbreak.Detail:
		return g.rhythms()
	case spreadoctave.Detail:
		return g.spread(inTurn(g.o.Notes, g.downward()))
	case spreadchord.Detail:
		return g.spread(g.rolled(d.Roll))
	case widestretch.Detail:
		return g.stretch()
	case ornament.Detail:
		return g.ornament(d)
	}
	return nil
}

// Book is the hot spots whose drills make up one book: those of the passages on
// the shortlist, in the order to learn them, the hardest of each hand, and what
// was added by hand. A piece with hundreds of hard places has so a book that
// one can work through, and open.
func Book(r *detect.Report) []*detect.Spot {
	var spots []*detect.Spot
	add := func(spot *detect.Spot) {
		if spot != nil && !slices.Contains(spots, spot) {
			spots = append(spots, spot)
		}
	}
	for i := range r.Passages {
		if !r.Passages[i].Shortlist {
			continue
		}
		seen := map[score.Hand]bool{}
		for _, t := range r.Passages[i].Troubles {
			if !seen[t.Hand] {
				seen[t.Hand] = true
				add(r.Spot(t.Spot))
			}
		}
	}
	for i := range r.Spots {
		if r.Spots[i].Kind == remarks.Added {
			add(&r.Spots[i])
		}
	}
	return spots
}
