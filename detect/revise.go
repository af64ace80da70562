package detect

import (
	"cmp"
	"slices"
	"strconv"

	"hardbars/score"
)

// Added is the kind of hot spots that somebody added by hand.
const Added Kind = "added"

// Addition is bars that somebody calls hard.
type Addition struct {
	First, Last int // indices into Score.Bars, inclusive
	Hand        score.Hand
	Text        string // what is hard there
}

// Without is the report less some hot spots, by id; the demand of the bars
// stays. Where a family loses the place to learn first, the best-ranked of the
// others takes its place, and the passages are found anew.
func (r *Report) Without(skipped func(id string) bool) *Report {
	less := r.Only(func(sp *Spot) bool { return !skipped(sp.ID) })
	for i := range less.Families {
		f := &less.Families[i]
		f.Spots = slices.DeleteFunc(slices.Clone(f.Spots), skipped)
		f.Relations = slices.DeleteFunc(slices.Clone(f.Relations), func(rel Relation) bool { return skipped(rel.Spot) })
		f.Share = float64(len(f.Spots)) / float64(len(less.Spots))
		if skipped(f.LearnFirst) {
			less.lead(f)
		}
	}
	slices.SortStableFunc(less.Families, func(a, b Family) int { return cmp.Compare(less.bestRank(&a), less.bestRank(&b)) })
	less.FindPassages()
	return less
}

// bestRank is the rank of a family's best-ranked hot spot.
func (r *Report) bestRank(f *Family) int { return r.Spots[r.bestOf(f)].Rank }

// bestOf is the index of a family's best-ranked hot spot.
func (r *Report) bestOf(f *Family) int {
	return slices.IndexFunc(r.Spots, func(sp Spot) bool { return slices.Contains(f.Spots, sp.ID) })
}

// lead makes the best-ranked spot of a family the one to learn first. How the
// others are like it is known only where all are the same in every note.
func (r *Report) lead(f *Family) {
	first := &r.Spots[r.bestOf(f)]
	f.LearnFirst = first.ID
	at := slices.IndexFunc(f.Relations, func(rel Relation) bool { return rel.Spot == f.LearnFirst })
	same := f.Relations[at].Same
	f.Relations = slices.Delete(f.Relations, at, at+1)
	for i := range f.Relations {
		rel := &f.Relations[i]
		if rel.Same = rel.Same && same; rel.Same {
			rel.Text = sameAs + barsNamed(r.Score, first.FirstBar, first.LastBar)
		} else {
			rel.Text = "same kind of place"
		}
	}
}

// With is the report and what somebody added, each a hot spot and a family of
// its own, "R1", "R2", … at the end. Families keep their letters, and the
// passages stay.
func (r *Report) With(added []Addition) *Report {
	if len(added) == 0 {
		return r
	}
	more := *r
	more.Spots, more.Families = slices.Clone(r.Spots), slices.Clone(r.Families)
	rank := 0
	for _, sp := range r.Spots {
		rank = max(rank, sp.Rank)
	}
	for i, a := range added {
		sp := r.added(a, "R"+strconv.Itoa(i+1))
		sp.Rank = rank + i + 1
		more.Spots = append(more.Spots, sp)
		more.Families = append(more.Families, Family{ID: sp.Family, Kind: sp.Kind, Spots: []string{sp.ID}, LearnFirst: sp.ID})
	}
	for i := range more.Families {
		more.Families[i].Share = float64(len(more.Families[i].Spots)) / float64(len(more.Spots))
	}
	return &more
}

// added makes a hot spot of bars that somebody calls hard. Its demand and
// comfortable tempo are those of the hardest place found in these bars; where
// none was found they are 0, not known.
func (r *Report) added(a Addition, id string) Spot {
	s := r.Score
	sp := Spot{
		ID: id, Kind: Added, Hand: a.Hand, Family: id,
		From: s.Bars[a.First].Start, To: s.Bars[a.Last].End(), FirstBar: a.First, LastBar: a.Last,
		Target: r.Clock.QPM(s.Bars[a.First].Start), Label: a.Text, Why: "Added by hand: " + a.Text,
	}
	if found := r.hardestIn(a); found != nil {
		sp.Demand, sp.Target = found.Demand, r.Clock.QPM(found.From)
		if found.Timed && found.Demand > 0 {
			sp.Comfortable = sp.Target / found.Demand
		}
	}
	o := Occurrence{Kind: Added, Hand: a.Hand, From: sp.From, To: sp.To, Demand: sp.Demand, Timed: sp.Comfortable > 0, Shape: id, Label: sp.Label, Why: sp.Why}
	for i := range s.Notes {
		n := &s.Notes[i]
		if a.First <= n.Bar && n.Bar <= a.Last && (a.Hand == score.Both || n.Hand == a.Hand) {
			o.Notes = append(o.Notes, i)
		}
	}
	sp.Occurrences = []Occurrence{o}
	return sp
}

// hardestIn is the hardest of what was found to begin in the bars of an
// addition, in its hand or both; nil where there is nothing.
func (r *Report) hardestIn(a Addition) *Occurrence {
	var most *Occurrence
	for i := range r.Spots {
		if h := r.Spots[i].Hand; h != a.Hand && h != score.Both && a.Hand != score.Both {
			continue
		}
		for n := range r.Spots[i].Occurrences {
			o := &r.Spots[i].Occurrences[n]
			if bar := r.Score.BarAt(o.From); a.First <= bar && bar <= a.Last && (most == nil || o.Demand > most.Demand) {
				most = o
			}
		}
	}
	return most
}
