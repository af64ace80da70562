package detect

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"hardbars/score"
)

// listedIn describes the shortlist in its order: "habit 1–4, 12–13 covers 20".
func listedIn(r *Report) string {
	var all []string
	for _, p := range r.Passages {
		if !p.Shortlist {
			continue
		}
		text := fmt.Sprintf("%s–%s", r.Score.Bars[p.First].Number, r.Score.Bars[p.Last].Number)
		if p.Habit {
			text = "habit " + text
		}
		if len(p.Harder) > 0 {
			text += fmt.Sprint(" harder ", p.Harder)
		}
		if len(p.Covers) > 0 && !p.Habit {
			text += fmt.Sprint(" covers ", p.Covers)
		}
		all = append(all, text)
	}
	return strings.Join(all, ", ")
}

// passagesOf are the passages of a blank score in which something was found.
func passagesOf(found ...Occurrence) *Report {
	r := reportOf(found...)
	r.FindPassages()
	return r
}

func TestShortlist(t *testing.T) {
	other := in(8, 8, "b", 2)
	other.Kind, other.Hand = "spread-octave", score.Left
	var waltz []Occurrence
	for bar := range int64(28) {
		o := in(bar, bar, "bass", 1.2)
		if bar == 20 {
			o.Demand = 2
		}
		waltz = append(waltz, o)
	}
	for _, c := range []struct {
		name  string
		found []Occurrence
		want  string
	}{
		{"nothing", nil, ""},
		{"the hardest first", []Occurrence{in(3, 3, "a", 1.5), in(12, 12, "b", 2.5)}, "12–12, 3–3"},
		{"kinds in the same bars are one passage", []Occurrence{in(8, 8, "a", 2), other}, "8–8"},
		{"the same problem is learnt once", []Occurrence{in(3, 3, "a", 2), in(12, 12, "a", 2), in(20, 20, "b", 1.5)}, "3–3 covers [12], 20–20"},
		{"but not where it is clearly harder", []Occurrence{in(3, 3, "a", 1.2), in(12, 12, "a", 2.5)}, "12–12 covers [3]"},
		{"an easy piece has its hardest places", []Occurrence{in(3, 3, "a", 0.5), in(12, 12, "b", 0.6)}, "12–12, 3–3"},
		{"what goes through the piece is a habit, and where it is harder a passage", waltz, "habit 0–3 harder [20], 20–20"},
	} {
		if got := listedIn(passagesOf(c.found...)); got != c.want {
			t.Errorf("%s: shortlist %q, want %q", c.name, got, c.want)
		}
	}
}

// TestPassagesHold looks at what is true of every list of passages.
func TestPassagesHold(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		var found []Occurrence
		for range random.IntN(60) {
			first := random.Int64N(30)
			o := in(first, min(29, first+random.Int64N(6)), fmt.Sprint("shape ", random.IntN(8)), 0.1+3*random.Float64())
			o.Hand = score.Hand(random.IntN(3))
			o.Kind = []Kind{"leap", "fast-run", "spread-chord"}[random.IntN(3)]
			found = append(found, o)
		}
		r := passagesOf(found...)
		owner := map[int]string{}
		order, share := 0, 0.0
		for i := range r.Passages {
			p := &r.Passages[i]
			if length := p.Last - p.First + 1; length < 1 || length > longestPassage {
				t.Fatalf("passage %s has %d bars", p.ID, length)
			}
			for bar := p.First; bar <= p.Last && !p.Habit; bar++ {
				if owner[bar] != "" {
					t.Fatalf("bar %d is in passages %s and %s", bar, owner[bar], p.ID)
				}
				owner[bar] = p.ID
			}
			for _, id := range p.Spots {
				if sp := r.Spot(id); sp == nil || !sp.Within(p.First, p.Last) {
					t.Fatalf("passage %s names hot spot %s, which does not lie in it", p.ID, id)
				}
			}
			if p.Shortlist {
				order, share = order+1, share+p.Share
				if p.Order != order {
					t.Fatalf("passage %s is number %d on the shortlist and comes as %d", p.ID, p.Order, order)
				}
			}
		}
		if most := r.listLength(r.troubles()); order > most || share > 1.001 {
			t.Fatalf("%d passages on the shortlist, %d allowed; they teach %.2f of the trouble", order, most, share)
		}
		if again := passagesOf(found...); listedIn(again) != listedIn(r) {
			t.Fatal("the same findings give another shortlist")
		}
	}
}

func TestPassagesAreCutWhereMusicBreathes(t *testing.T) {
	r := reportOf(in(3, 14, "run", 2))
	for bar, length := range []int64{4, 4, 4, 4, 4, 4, 3, 4, 4, 4, 4, 4, 4, 4} { // the last quarter of bar 6 is silent
		for _, hand := range []score.Hand{score.Right, score.Left} {
			r.Score.Notes = append(r.Score.Notes, score.Note{Hand: hand, Bar: bar, Onset: score.Int(int64(4 * bar)), Length: score.Int(length), Pitch: score.Pitch{Step: 'C', Octave: 4}, Heads: []score.Head{{}}})
		}
	}
	for _, p := range r.passages() {
		if p.First <= 6 && p.Last > 6 {
			t.Errorf("passage %s goes over the rest at the end of bar 6", p.ID)
		}
	}
}
