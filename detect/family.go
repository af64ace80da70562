package detect

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardbars/score"
	"hardbars/score/form"
)

// Family is hot spots of one kind in one hand that are the same problem again.
// Two belong together when their hardest places have the same shape, when the
// bars of one are the same as bars of the other, or when the notes of one are
// found in the other: transposed, in the key, or with small changes.
type Family struct {
	ID         string
	Kind       Kind
	Spots      []string   // ids, by time
	LearnFirst string     // the id of the one to learn first: the hardest; of several the one that holds most of the others, then the earliest
	Relations  []Relation // of the other spots to that one, by time
	Share      float64    // of all hot spots, those that are covered once this is learnt
}

// Relation says how a hot spot is like the one of its family to learn first.
type Relation struct {
	Spot string // id
	Text string // "same as bar 3", "same, a fourth higher", "same rhythm, other notes", "shorter form"
	Same bool   // in every note: it asks for nothing new
}

// raise is how much one doubling of a family's members adds to their weight.
// It only orders: the demand that is printed stays what it is. Common practice:
// what comes again pays its practice back more than once.
const raise = 0.05

// group finds the families, ranks the spots and names both.
//
// The hardest comes first, the quiet ones last. A spot's weight is its demand,
// or the share of it by which its kind is ranked, raised by 5 % for each doubling of the number of spots in its family; equal
// weights go by demand, then by the earlier place.
func (r *Report) group() {
	k := newKinship(r.Score, r.Spots)
	first := k.families()
	members := map[int]int{}
	order := make([]int, len(r.Spots)) // by rank, indices into k.spots
	for i, f := range first {
		members[f]++
		order[i] = i
	}
	weight := func(i int) float64 {
		return Round3(k.spots[i].hardest().weight() * (1 + raise*math.Log2(float64(members[first[i]]))))
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &k.spots[i], &k.spots[j]
		return cmp.Or(quietLast(a, b), cmp.Compare(weight(j), weight(i)), cmp.Compare(Round3(b.Demand), Round3(a.Demand)), a.From.Cmp(b.From))
	})
	kin := map[int][]int{} // by the first of each family, indices into k.spots by rank
	var firsts []int       // by the rank of their best-ranked spot
	for rank, i := range order {
		k.spots[i].Rank, k.spots[i].ID = rank+1, strconv.Itoa(rank+1)
		if kin[first[i]] == nil {
			firsts = append(firsts, first[i])
		}
		kin[first[i]] = append(kin[first[i]], i)
	}
	for n, f := range firsts {
		r.Families = append(r.Families, k.family(form.Letters(n), kin[f]))
	}
	r.Spots = make([]Spot, len(order))
	for rank, i := range order {
		r.Spots[rank] = k.spots[i]
	}
}

// family makes a family of some spots.
func (k *kinship) family(id string, spots []int) Family {
	slices.SortStableFunc(spots, func(i, j int) int { return k.spots[i].From.Cmp(k.spots[j].From) })
	first := k.learnFirst(spots)
	f := Family{
		ID: id, Kind: k.spots[first].Kind, LearnFirst: k.spots[first].ID,
		Share: float64(len(spots)) / float64(len(k.spots)),
	}
	for _, i := range spots {
		k.spots[i].Family = id
		f.Spots = append(f.Spots, k.spots[i].ID)
		if i != first {
			text := k.relation(first, i)
			f.Relations = append(f.Relations, Relation{k.spots[i].ID, text, strings.HasPrefix(text, sameAs)})
		}
	}
	return f
}

// Relation is how a spot is like the one of its family to learn first, and that
// one; false for the one to learn first itself, and where that is not in the
// report.
func (r *Report) Relation(sp *Spot) (rel Relation, first *Spot, ok bool) {
	for i := range r.Families {
		f := &r.Families[i]
		if f.ID != sp.Family {
			continue
		}
		n := slices.IndexFunc(f.Relations, func(rel Relation) bool { return rel.Spot == sp.ID })
		if first = r.Spot(f.LearnFirst); n >= 0 && first != nil {
			return f.Relations[n], first, true
		}
	}
	return Relation{}, nil, false
}

// kinship compares hot spots with each other.
type kinship struct {
	score  *score.Score
	spots  []Spot
	motifs []motif       // of each spot, nil where not yet laid out
	bars   [3]*form.Bars // by score.Hand, nil where not yet read
	twins  []int         // for each spot, the first that no comparison tells from it
}

func newKinship(s *score.Score, spots []Spot) *kinship {
	k := &kinship{score: s, spots: spots, motifs: make([]motif, len(spots)), twins: make([]int, len(spots))}
	known := map[string]int{}
	for i := range spots {
		text := k.text(i)
		if _, ok := known[text]; !ok {
			known[text] = i
		}
		k.twins[i] = known[text]
	}
	return k
}

// text is all of a spot that the comparisons look at.
func (k *kinship) text(i int) string {
	sp := &k.spots[i]
	var b strings.Builder
	fmt.Fprintln(&b, sp.Kind, sp.Hand, sp.Occurrences[sp.Hardest].Shape)
	for bar := sp.FirstBar; bar <= sp.LastBar; bar++ {
		fmt.Fprintln(&b, "bar", k.barsOf(sp.Hand).Number(bar))
	}
	b.WriteString(k.motif(i).String())
	return b.String()
}

// families returns, for each spot, the first of its family: what is akin to
// one of a family belongs to it. Twins are compared with others only once: a
// very long score is much the same again and again.
func (k *kinship) families() []int {
	first := make([]int, len(k.spots))
	var compared []int
	for i, twin := range k.twins {
		first[i] = i
		if twin < i {
			first[i] = first[twin]
			continue
		}
		for _, j := range compared {
			if a, b := first[i], first[j]; a != b && k.akin(j, i) {
				for n := range first[:i+1] {
					if first[n] == max(a, b) {
						first[n] = min(a, b)
					}
				}
			}
		}
		compared = append(compared, i)
	}
	return first
}

// Motifs are compared from fewestAttacks on, since less is found anywhere, and
// up to mostAttacks, which is more than a hand learns as one. Two are the same
// but for small changes when mostlySame is the share of equal attacks at
// least. Common practice.
const (
	fewestAttacks = 4
	mostAttacks   = 400
	mostlySame    = 0.75
)

// akin reports whether two spots are the same problem.
func (k *kinship) akin(i, j int) bool {
	a, b := &k.spots[i], &k.spots[j]
	switch {
	case a.Kind != b.Kind || a.Hand != b.Hand:
		return false
	case a.Occurrences[a.Hardest].Shape == b.Occurrences[b.Hardest].Shape, k.sameBars(i, j) >= 0, k.sameBars(j, i) >= 0:
		return true
	}
	f, g := k.motif(i), k.motif(j)
	if short := min(len(f), len(g)); short < fewestAttacks || max(len(f), len(g)) > mostAttacks {
		return false
	}
	return f.holds(g) || g.holds(f) || f.alike(g) >= mostlySame
}

// holds reports whether g is found in f, transposed or in the key.
func (f motif) holds(g motif) bool { return f.find(g, bySemitones) >= 0 || f.find(g, bySteps) >= 0 }

// motif lays out the notes of a spot.
func (k *kinship) motif(i int) motif {
	if k.motifs[i] == nil {
		var notes []int
		for _, o := range k.spots[i].Occurrences {
			notes = append(notes, o.Notes...)
		}
		k.motifs[i] = newMotif(k.score, notes)
	}
	return k.motifs[i]
}

// barsOf reads what a hand plays in the bars of the score.
func (k *kinship) barsOf(h score.Hand) *form.Bars {
	if k.bars[h] == nil {
		k.bars[h] = form.NewBars(k.score, h)
	}
	return k.bars[h]
}

// sameBars returns the bar of spot i that the first bar of spot j is the same
// as, if all bars of j are the same in the hand concerned as some of i; -1
// otherwise.
func (k *kinship) sameBars(i, j int) int {
	in, of := &k.spots[i], &k.spots[j]
	bars := k.barsOf(in.Hand)
	for first := in.FirstBar; first+of.LastBar-of.FirstBar <= in.LastBar; first++ {
		same, empty := true, true
		for bar := of.FirstBar; same && bar <= of.LastBar; bar++ {
			same = bars.Same(first+bar-of.FirstBar, bar)
			empty = empty && bars.Empty(bar)
		}
		if same && !empty {
			return first
		}
	}
	return -1
}

// learnFirst picks the hardest of some spots; of several the one that holds
// most of the others, then the first.
func (k *kinship) learnFirst(spots []int) int {
	hardest := 0.0
	for _, i := range spots {
		hardest = max(hardest, Round3(k.spots[i].Demand))
	}
	first, most := -1, -1
	tried := map[int]bool{} // by twin: a later one holds as many
	for _, i := range spots {
		if Round3(k.spots[i].Demand) < hardest || tried[k.twins[i]] {
			continue
		}
		tried[k.twins[i]] = true
		held := 0
		for _, j := range spots {
			if k.sameBars(i, j) >= 0 || k.motif(i).holds(k.motif(j)) {
				held++
			}
		}
		if held > most {
			first, most = i, held
		}
	}
	return first
}

// sameAs begins the words for what is the same in every note.
const sameAs = "same as "

// relation says how spot j is like spot i of its family.
func (k *kinship) relation(i, j int) string {
	a, b := &k.spots[i], &k.spots[j]
	if bar := k.sameBars(i, j); bar >= 0 {
		return sameAs + barsNamed(k.score, bar, bar+b.LastBar-b.FirstBar)
	}
	if text := k.likeness(k.motif(i), k.motif(j)); text != "" {
		return text
	}
	hardest := &b.Occurrences[b.Hardest]
	for n := range a.Occurrences {
		o := &a.Occurrences[(a.Hardest+n)%len(a.Occurrences)]
		if o.Shape != hardest.Shape {
			continue
		}
		if text := k.likeness(newMotif(k.score, o.Notes), newMotif(k.score, hardest.Notes)); text != "" {
			return "hardest place " + text
		}
	}
	return "same kind of place, other notes"
}

// likeness says how motif g is like f; "" where it is not.
func (k *kinship) likeness(f, g motif) string {
	if len(f) > mostAttacks || len(g) > mostAttacks {
		return ""
	}
	if at := f.find(g, bySemitones); at >= 0 {
		moved := g[0].low.MIDI() - f[at].low.MIDI()
		if moved == 0 {
			return sameAs + barsNamed(k.score, k.score.BarAt(f[at].at), k.score.BarAt(f[at+len(g)-1].at))
		}
		return extent(f, g) + ", " + score.IntervalName(moved)
	}
	if at := g.find(f, bySemitones); at >= 0 {
		return "longer form" + transposed(g[at].low.MIDI()-f[0].low.MIDI())
	}
	if at := f.find(g, bySteps); at >= 0 {
		moved := g[0].low.Staff() - f[at].low.Staff()
		if moved == 0 {
			return extent(f, g) + ", other accidentals"
		}
		return extent(f, g) + " in the key, " + score.StepsName(moved)
	}
	switch {
	case f.alike(g) >= mostlySame:
		return "same with small changes" + transposed(g[0].low.MIDI()-f[0].low.MIDI())
	case f.is(g, byRhythm):
		return "same rhythm, other notes"
	}
	return ""
}

// extent says whether g, found in f, is all of it.
func extent(f, g motif) string {
	if len(g) < len(f) {
		return "shorter form"
	}
	return "same"
}

// transposed is an interval in a sentence, and nothing where there is none.
func transposed(semitones int) string {
	if semitones == 0 {
		return ""
	}
	return ", " + score.IntervalName(semitones)
}

// barsNamed names bars as printed: "bar 12" or "bars 12–15".
func barsNamed(s *score.Score, first, last int) string {
	if first == last {
		return "bar " + s.Bars[first].Number
	}
	return fmt.Sprintf("bars %s–%s", s.Bars[first].Number, s.Bars[last].Number)
}
