package detect

import (
	"cmp"
	"slices"
	"strings"

	"hardbars/score"
)

// ScaleRule says what demand is.
const ScaleRule = `Demand is what a place asks for, divided by what this player does in comfort: 1 is the comfortable limit. What
is counted by the second, notes or bits or the gap between the hands, grows with the tempo in proportion, and its
comfortable tempo is the one at which it would be 1; a stretch or a surprise stays what it is at any tempo. Under a third of
the limit a place is quiet: it is left out of lists and sheets unless you ask for all, and counts in the demand of its bar.`

// QuietBelow is the demand under which a place is quiet: it asks for less than
// a third of what this player does in comfort, so a teacher would not stop at
// it. Common practice.
const QuietBelow = 0.33

// quiet reports whether a place is well inside the player's comfort.
func (o *Occurrence) quiet() bool { return Round3(o.Demand) < QuietBelow }

// WithoutQuiet is the report without its quiet spots, and says how many it left out.
// Ids and ranks stay, since the quiet spots come last; no family names a spot
// that is left out. The demand of the bars stays whole.
func (r *Report) WithoutQuiet() *Report {
	quiet := map[string]bool{} // by id
	loud := r.Only(func(sp *Spot) bool {
		quiet[sp.ID] = sp.Quiet
		return !sp.Quiet
	})
	loud.LeftOut = r.LeftOut + len(r.Spots) - len(loud.Spots)
	for i := range loud.Families {
		f := &loud.Families[i]
		f.Spots = slices.DeleteFunc(slices.Clone(f.Spots), func(id string) bool { return quiet[id] })
		f.Relations = slices.DeleteFunc(slices.Clone(f.Relations), func(rel Relation) bool { return quiet[rel.Spot] })
		f.Share = float64(len(f.Spots)) / float64(len(loud.Spots))
	}
	return loud
}

// quietLast orders two spots of which one is quiet.
func quietLast(a, b *Spot) int {
	switch {
	case a.Quiet == b.Quiet:
		return 0
	case a.Quiet:
		return 1
	}
	return -1
}

// apart parts quiet occurrences from the others; both come by kind, hand and time.
func apart(found []Occurrence) (loud, quiet []Occurrence) {
	for _, o := range found {
		if o.quiet() {
			quiet = append(quiet, o)
			continue
		}
		loud = append(loud, o)
	}
	slices.SortStableFunc(loud, byPlace)
	slices.SortStableFunc(quiet, byPlace)
	return loud, quiet
}

// byPlace orders occurrences by kind, hand and time.
func byPlace(a, b Occurrence) int {
	return cmp.Or(byHand(a.Kind, b.Kind, a.Hand, b.Hand), a.From.Cmp(b.From), a.To.Cmp(b.To))
}

func byHand(kindA, kindB Kind, handA, handB score.Hand) int {
	return cmp.Or(strings.Compare(string(kindA), string(kindB)), int(handA)-int(handB))
}

// takeIn gives each spot the quiet occurrences that lie inside it, and returns
// the others. A spot is never stretched by what is quiet.
func takeIn(spots []Spot, quiet []Occurrence) (rest []Occurrence) {
	n := 0
	for _, o := range quiet {
		for n < len(spots) && spots[n].isBefore(&o) {
			n++
		}
		if n < len(spots) && spots[n].holds(&o) {
			spots[n].Occurrences = append(spots[n].Occurrences, o)
			continue
		}
		rest = append(rest, o)
	}
	for i := range spots {
		slices.SortStableFunc(spots[i].Occurrences, byPlace)
	}
	return rest
}

// isBefore reports whether a spot, by kind, hand and time, is over where an occurrence begins.
func (sp *Spot) isBefore(o *Occurrence) bool {
	return cmp.Or(byHand(sp.Kind, o.Kind, sp.Hand, o.Hand), sp.To.Cmp(o.From)) < 0
}

// holds reports whether an occurrence lies inside a spot.
func (sp *Spot) holds(o *Occurrence) bool {
	return sp.Kind == o.Kind && sp.Hand == o.Hand && sp.From.Cmp(o.From) <= 0 && o.To.Cmp(sp.To) <= 0
}
