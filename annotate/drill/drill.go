// Package drill writes practice scores in MusicXML: what to play, bar by full
// bar, to learn a hot spot.
//
// It holds how pianists take a passage apart, and lays that out on two staves as a
// notation.Score, by the rules of writing there. What is hard, why a drill helps,
// and files are kept out.
//
// Beside the general drills a hot spot gets those of the form that its kind
// chose, a detect.Exercise; no kind is known by name. Where no source is named,
// the ways to practise are common practice.
package drill

import (
	"slices"

	"hardbars/annotate/remarks"
	"hardbars/detect"
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

// special are the drills of the form that the hardest occurrence names.
func (g *passage) special() []exercise {
	switch e := g.o.Exercise.(type) {
	case detect.RhythmGrid:
		return g.crossRhythm(e)
	case detect.Move:
		return g.moves()
	case detect.Edges:
		return g.outer()
	case detect.Layer:
		return g.layers(e)
	case detect.Rhythms:
		return g.rhythms()
	case detect.Rolled:
		return g.spread(e.Groups)
	case detect.Grasp:
		return g.stretch(e)
	case detect.WrittenOut:
		return g.writtenOut(e)
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
