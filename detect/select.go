package detect

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Only returns the report with the spots that keep accepts, and the families
// and passages they belong to. Ids, ranks and families stay those of the whole report, so
// that they agree with the marked score and the sheet.
func (r *Report) Only(keep func(*Spot) bool) *Report {
	only := *r
	only.Spots, only.Families, only.Passages = nil, nil, nil
	kept, spots := map[string]bool{}, map[string]bool{}
	for i := range r.Spots {
		if keep(&r.Spots[i]) {
			only.Spots = append(only.Spots, r.Spots[i])
			kept[r.Spots[i].Family], spots[r.Spots[i].ID] = true, true
		}
	}
	for _, f := range r.Families {
		if kept[f.ID] {
			only.Families = append(only.Families, f)
		}
	}
	for _, p := range r.Passages {
		if p = p.only(spots); len(p.Troubles) > 0 {
			only.Passages = append(only.Passages, p)
		}
	}
	return &only
}

// only is the passage with what belongs to some hot spots, by id.
func (p Passage) only(spots map[string]bool) Passage {
	p.Troubles = slices.DeleteFunc(slices.Clone(p.Troubles), func(t Trouble) bool { return !spots[t.Spot] })
	p.Spots = slices.DeleteFunc(slices.Clone(p.Spots), func(id string) bool { return !spots[id] })
	p.Hand = handOf(p.Troubles)
	return p
}

// BarRange reads bars as printed, "12" or "5-12", and returns the first and
// last as indices into Score.Bars. Where a number is printed more than once
// the range takes in all of them. A number that is printed nowhere counts
// bars from 1 in file order.
func (r *Report) BarRange(text string) (first, last int, err error) {
	from, to, isRange := cutRange(text)
	if !isRange {
		to = from
	}
	first, ok := r.barNamed(from, false)
	last, ok2 := r.barNamed(to, true)
	if !ok || !ok2 || last < first {
		return 0, 0, fmt.Errorf("bars %q: give bars of this score, such as 12 or 5-12; it has %s", text, r.barNames())
	}
	return first, last, nil
}

func cutRange(text string) (from, to string, isRange bool) {
	from, to, isRange = strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	return strings.TrimSpace(from), strings.TrimSpace(to), isRange
}

// barNamed finds the first or the last bar printed with a number.
func (r *Report) barNamed(number string, last bool) (index int, ok bool) {
	index = -1
	for i, b := range r.Score.Bars {
		if b.Number == number && (index < 0 || last) {
			index = i
		}
	}
	if index >= 0 {
		return index, true
	}
	n, err := strconv.Atoi(number)
	return n - 1, err == nil && n >= 1 && n <= len(r.Score.Bars)
}

func (r *Report) barNames() string {
	if len(r.Score.Bars) == 0 {
		return "none"
	}
	return fmt.Sprintf("%s to %s", r.Score.Bars[0].Number, r.Score.Bars[len(r.Score.Bars)-1].Number)
}

// Within reports whether any of a spot's bars lies in a range of indices into Score.Bars.
func (sp *Spot) Within(first, last int) bool { return sp.FirstBar <= last && sp.LastBar >= first }
