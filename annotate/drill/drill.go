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
	"hardbars/detect"
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
	case detect.CrossRhythmDetail:
		return g.crossRhythm(d)
	case detect.LeapDetail:
		return g.leap()
	case detect.PairsDetail, detect.OctavesDetail:
		return g.outer()
	case detect.MelodyDetail:
		return g.melody(d)
	case detect.HeldDetail:
		return g.held()
	case detect.RunDetail, detect.RepeatDetail, detect.RegroupingDetail, detect.PatternBreakDetail:
		return g.rhythms()
	case detect.SpreadOctaveDetail:
		return g.spread(inTurn(g.o.Notes, g.downward()))
	case detect.SpreadChordDetail:
		return g.spread(g.rolled(d.Roll))
	case detect.WideStretchDetail:
		return g.stretch()
	case detect.OrnamentDetail:
		return g.ornament(d)
	}
	return nil
}

// Book is the hot spots whose drills make up one book: family by family, the
// place to learn first before the others, those that are the same as it in
// every note left out.
func Book(r *detect.Report) []*detect.Spot {
	var spots []*detect.Spot
	for _, f := range r.Families {
		if first := r.Spot(f.LearnFirst); first != nil {
			spots = append(spots, first)
		}
		for _, rel := range f.Relations {
			if spot := r.Spot(rel.Spot); spot != nil && !rel.Same {
				spots = append(spots, spot)
			}
		}
	}
	return spots
}
