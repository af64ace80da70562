package kinds

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// One scale for every kind: what must hold of demand whatever the kind is. Each
// kind in All is held to it on random pieces, a new one without a line here.

// pieces is how many random pieces are looked at.
const pieces = 60

// TestDemandOnOneScale changes the player and looks at each place again: demand
// does not fall for a player for whom nothing can be easier, and doubles with
// the tempo where it is said to follow the tempo.
//
// A kind may hand a place over to another: what a smaller hand cannot stretch
// to, it must spread. Then the other kind asks for no less.
func TestDemandOnOneScale(t *testing.T) {
	times := map[detect.Kind]int{}
	for seed := range uint64(pieces) {
		s := randomPiece(t, seed)
		all := map[string][]detect.Occurrence{}
		for name, p := range harder {
			for _, d := range All {
				all[name] = append(all[name], d.Find(s, p)...)
			}
		}
		for _, d := range All {
			before := d.Find(s, detect.DefaultPlayer())
			times[d.Kind] += len(before)
			for _, o := range before {
				was := o.Demand
				for _, name := range []string{"faster", "less trained", "smaller"} {
					now := asked(all[name], d.Kind, o.Hand, o.From, o.To)
					if now == 0 && name == "smaller" {
						now = asked(all[name], anyKind, o.Hand, o.From, o.To)
					}
					if now < was-1e-9 {
						t.Errorf("piece %d, %s, %s hand at %s: demand falls from %g to %g for a player who is %s", seed, d.Kind, o.Hand, o.From, was, now, name)
					}
				}
				if again := again(all["twice as fast"], o); o.Timed && !slices.ContainsFunc(again, near(2*o.Demand, 1e-9)) {
					t.Errorf("piece %d, %s, %s hand at %s: demand %g does not double with the tempo: %v", seed, d.Kind, o.Hand, o.From, o.Demand, again)
				}
			}
		}
	}
	for _, d := range All {
		if times[d.Kind] < 10 {
			t.Errorf("%s was found only %d times in all random pieces, so nothing is shown about it: write a texture that has it", d.Kind, times[d.Kind])
		}
	}
}

// Every kind says in plain words what it is and how its demand is measured,
// and names the source of each figure that it goes by.
func TestKindsDocumented(t *testing.T) {
	names := map[string]bool{}
	for _, d := range All {
		if names[d.Name] || d.Name == "" || Find(d.Kind) != d {
			t.Errorf("%s has no name of its own", d.Kind)
		}
		names[d.Name] = true
		if !strings.Contains(strings.ToLower(d.Doc), "demand") && !strings.Contains(d.Doc, "How hard ") {
			t.Errorf("%s does not say how its demand is measured", d.Kind)
		}
		if d.Basis == "" || d.Rests == "" || (d.Basis == detect.Calibrated) != strings.Contains(d.Rests, "recorded performances: ") {
			t.Errorf("%s does not say what its demand rests on: %s, %q", d.Kind, d.Basis, d.Rests)
		}
		if len(d.Limits) == 0 {
			t.Errorf("%s names no figure that it goes by", d.Kind)
		}
		for _, l := range d.Limits {
			if l.Name == "" || l.Value == "" || l.Source == "" {
				t.Errorf("%s: a figure without name, value or source: %+v", d.Kind, l)
			}
		}
	}
}

// harder is players for whom nothing can be easier than for the default one.
var harder = map[string]detect.Player{
	"faster":        playerWith(func(p *detect.Player) { p.Tempo.Share = 1.3 }),
	"twice as fast": playerWith(func(p *detect.Player) { p.Tempo.Share = 2 }),
	"less trained":  playerWith(func(p *detect.Player) { p.Level = detect.Elementary }),
	"smaller":       playerWith(func(p *detect.Player) { p.SpanMM = [2]float64{185, 178} }),
}

func playerWith(change func(*detect.Player)) detect.Player {
	p := detect.DefaultPlayer()
	change(&p)
	return p
}

const anyKind detect.Kind = ""

// asked is the most that a kind asks of a hand from one instant to another, 0
// where nothing was found. Places are compared by it, since a kind may part them
// otherwise for another player.
func asked(found []detect.Occurrence, kind detect.Kind, hand score.Hand, from, to score.Rat) float64 {
	most := 0.0
	for _, o := range found {
		if (o.Kind == kind || kind == anyKind) && o.Hand == hand && (o.From.Less(to) && from.Less(o.To) || from == o.From) {
			most = max(most, o.Demand)
		}
	}
	return most
}

// again is the demand of what is found at the same place, notes and all.
func again(found []detect.Occurrence, o detect.Occurrence) []float64 {
	var all []float64
	for _, f := range found {
		if f.Kind == o.Kind && f.Hand == o.Hand && f.From == o.From && f.To == o.To && f.Shape == o.Shape && slices.Equal(f.Notes, o.Notes) {
			all = append(all, f.Demand)
		}
	}
	return all
}

func near(want, share float64) func(float64) bool {
	return func(x float64) bool { return math.Abs(x-want) <= share*want }
}

// TestBarsNeverEasier looks at whole bars, in which one kind may take over from
// another: a chord that a smaller hand cannot stretch to must be spread.
func TestBarsNeverEasier(t *testing.T) {
	for seed := range uint64(pieces) {
		s := randomPiece(t, seed)
		before := detect.Analyze(s, detect.DefaultPlayer(), All).BarDemand
		for _, name := range []string{"faster", "less trained", "smaller"} {
			for bar, d := range detect.Analyze(s, harder[name], All).BarDemand {
				if d < before[bar]-1e-9 {
					t.Errorf("piece %d, bar %d: demand falls from %g to %g for a player who is %s", seed, bar+1, before[bar], d, name)
				}
			}
		}
	}
}

// TestPrintedComfortableTempo plays each spot at the tempo that is printed for
// it, to a tenth of a quarter note a minute: there its demand is 1.
func TestPrintedComfortableTempo(t *testing.T) {
	for seed := range uint64(pieces / 3) {
		s := randomPiece(t, seed)
		for _, sp := range detect.Analyze(s, detect.DefaultPlayer(), All).Spots {
			if sp.Comfortable == 0 {
				continue
			}
			printed := math.Round(sp.Comfortable*10) / 10
			p := detect.DefaultPlayer()
			p.Tempo.QPM = printed
			demands := again(Find(sp.Kind).Find(s, p), sp.Occurrences[sp.Hardest])
			if !slices.ContainsFunc(demands, near(1, 0.051/printed)) {
				t.Errorf("piece %d, %s in bar %d: at its comfortable tempo %g demand is %v, not 1", seed, sp.Kind, sp.FirstBar+1, printed, demands)
			}
		}
	}
}

// randomPiece is six bars in which each hand changes its texture now and then,
// with ornaments on some of the longer notes.
func randomPiece(t *testing.T, seed uint64) *score.Score {
	r := rand.New(rand.NewPCG(seed, 2))
	p := scoretest.Piece{QPM: 40 + float64(r.IntN(100)), Fifths: r.IntN(9) - 4}
	p.Right = randomVoices(r, 72)
	p.Left = randomVoices(r, 48)
	if seed%3 == 0 {
		p.Right, p.Left = goneOn(p.Right), goneOn(p.Left)
	}
	if r.IntN(3) == 0 {
		p.Left[0] = "@ped " + p.Left[0] // and held to the end
	}
	s := p.Score(t)
	for i := range s.Notes {
		if n := &s.Notes[i]; !n.Length.Less(score.Int(1)) && r.IntN(6) == 0 {
			n.Ornaments = []string{[]string{"trill-mark", "turn", "mordent", "inverted-mordent"}[r.IntN(4)]}
		}
	}
	return s
}

// randomVoices is the two voices of one hand.
func randomVoices(r *rand.Rand, low int) []string {
	var first, second []string
	current := textures[0]
	for range 6 {
		if r.IntN(3) > 0 {
			current = textures[r.IntN(len(textures))]
		}
		main, beside := current(r, low+r.IntN(19)-9)
		first = append(first, []string{"", "@pp ", "@f "}[r.IntN(3)]+main)
		second = append(second, beside)
	}
	return []string{strings.Join(first, " | "), strings.Join(second, " | ")}
}

// goneOn plays the first two bars of six again, and then goes on otherwise: what
// no texture has.
func goneOn(voices []string) []string {
	all := make([]string, len(voices))
	for i, v := range voices {
		bars := strings.Split(v, " | ")
		all[i] = strings.Join(append(bars, bars[0], bars[1], bars[5]), " | ")
	}
	return all
}

// texture is a bar of 4/4 near a key, and what a second voice has, "" for nothing.
type texture func(r *rand.Rand, low int) (main, beside string)

var textures = []texture{
	func(r *rand.Rand, low int) (string, string) { return "r:4", "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "2", 2, low, []int{0}, 9), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/4", 16, low, []int{0}, 2), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/3", 12, low, []int{0}, 5), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/2", 8, low, []int{0}, 14), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/4", 16, low, []int{0}, 0), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/2", 8, low, []int{0, 4}, 2), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/2", 8, low, []int{0, 9}, 2), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/2", 8, low, []int{0, 12}, 2), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1/4", 16, low, []int{0, 4, 7}, 0), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1", 4, low, []int{0, 7, 12, 16}, 3), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1", 4, low, []int{0, 14}, 3), "" },
	func(r *rand.Rand, low int) (string, string) { return each(r, "1", 4, low, []int{0, 5, 14}, 3), "" },
	func(r *rand.Rand, low int) (string, string) {
		return each(r, "1/3", 12, low, []int{0}, 4), each(r, "1", 4, low+10, []int{0}, 3)
	},
	func(r *rand.Rand, low int) (string, string) {
		return each(r, "1/2", 8, low, []int{0}, 4), named(low-12) + ":4"
	},
	func(r *rand.Rand, low int) (string, string) { return turning(low, 3), "" },
	func(r *rand.Rand, low int) (string, string) { // a tremolo over a bass that moves
		return strings.Repeat(fmt.Sprintf("%s:1/4 %s:1/4 %s:1/4 %[2]s:1/4 ", named(low), named(low+8+r.IntN(6)), named(low+r.IntN(3))), 4), ""
	},
	func(r *rand.Rand, low int) (string, string) { // fours in triplets
		return strings.Repeat(fmt.Sprintf("%s:1/3 %s:1/3 %s:1/3 %[2]s:1/3 ", named(low), named(low+4), named(low+7)), 3), ""
	},
	func(r *rand.Rand, low int) (string, string) {
		return "@ped " + each(r, "1", 2, low, []int{0, 4}, 3) + " @change " + each(r, "1", 2, low, []int{0, 4}, 3) + " @lift", named(low-r.IntN(20)) + ":4"
	},
}

// each is one chord after another, each no more than so many semitones from the one before.
func each(r *rand.Rand, length string, count, low int, chord []int, step int) string {
	var all []string
	for range count {
		var keys []string
		for _, k := range chord {
			keys = append(keys, named(low+k))
		}
		all = append(all, strings.Join(keys, "+")+":"+length)
		if step > 0 {
			low = min(max(low+(1+r.IntN(step))*(1-2*r.IntN(2)), 24), 90)
		}
	}
	return strings.Join(all, " ")
}

// turning is sixteenths that go up and start anew, so many at a time.
func turning(low, size int) string {
	var all []string
	for i := range 16 {
		all = append(all, named(low+4*(i%size))+":1/4")
	}
	return strings.Join(all, " ")
}

// named is a key as scoretest writes it: "F#4".
func named(key int) string {
	return fmt.Sprintf("%s%d", strings.Fields("C C# D D# E F F# G G# A A# B")[key%12], key/12-1)
}
