package hand

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"hardbars/score"
)

var (
	tune    = flag.Bool("tune", false, "fit the weights to ../shared/fingered and write them to effort.txt")
	folds   = flag.Int("folds", 0, "cross-validate over the studies with so many folds")
	passes  = flag.Int("passes", 8, "over the studies, in fitting")
	shrink  = flag.Float64("shrink", 3, "how strongly weights are drawn towards nothing")
	without = flag.String("without", "", "blocks to leave at nothing")
)

// The weights are those that make the printed fingerings likeliest, where a
// fingering is the likelier the less its effort (a conditional random field,
// Lafferty, McCallum & Pereira 2001), fitted by stochastic gradients (Adagrad,
// Duchi, Hazan & Singer 2011).
func TestTune(t *testing.T) {
	if !*tune && *folds == 0 {
		t.Skip("the weights are fitted with -tune, and judged on studies that they have not seen with -folds 10")
	}
	studies := readStudies(t)
	saved := effort
	defer func() { effort = saved }()
	effort = make([]int, weightCount)
	var all []*lesson
	for i, s := range studies {
		for _, side := range []score.Hand{score.Right, score.Left} {
			all = append(all, newLesson(i, s, side))
		}
	}
	if *folds > 0 {
		var total agreement
		for fold := range *folds {
			var learn, seen []*lesson
			for _, l := range all {
				if l.study%*folds == fold {
					seen = append(seen, l)
				} else {
					learn = append(learn, l)
				}
			}
			effort = rounded(fit(learn))
			for _, l := range seen {
				total.add(l)
			}
		}
		t.Logf("unseen studies, %d folds: %s", *folds, &total)
		if all := total.share(score.Right, score.Left); all < 0.77 {
			t.Errorf("agreement on unseen studies is %.3f, want 0.77", all)
		}
	}
	if *tune {
		effort = rounded(fit(all))
		if err := os.WriteFile("effort.txt", []byte(effortFile()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// lesson is one hand of a study with the fingers that it was printed with.
type lesson struct {
	study  int
	side   score.Hand
	piece  *piece
	finger []int      // by note of the score
	gold   []int      // by moment, the grip nearest to the printed fingers
	one    [][][]term // terms of each grip, and of each two and three after one another
	two    [][][][]term
	three  [][][][][]term
	fixed1 [][]float64 // what is not fitted
	fixed2 [][][]float64
}

func newLesson(i int, s *study, side score.Hand) *lesson {
	r := newReader(s.score, hands[side], allegro)
	l := &lesson{study: i, side: side, piece: r.piece(), finger: s.finger}
	e := l.piece.economy
	ms := l.piece.moments
	fitted := func(f func(t *tally)) ([]term, float64) {
		t := tally{keep: true}
		f(&t)
		return t.terms, float64(t.cost) / unit
	}
	for i := range ms {
		m := &ms[i]
		l.gold = append(l.gold, l.nearest(m))
		var next *moment
		if i+1 < len(ms) {
			next = &ms[i+1]
		}
		one, fixed := make([][]term, len(m.grips)), make([]float64, len(m.grips))
		for g := range m.grips {
			one[g], fixed[g] = fitted(func(t *tally) { e.grasp(t, m, next, m.grips[g]); t.cost += handbookCost(m, m.grips[g]) })
		}
		l.one, l.fixed1 = append(l.one, one), append(l.fixed1, fixed)
		var two [][][]term
		var fixed2 [][]float64
		if i > 0 {
			a := &ms[i-1]
			for x, ga := range a.grips {
				two, fixed2 = append(two, make([][]term, len(m.grips))), append(fixed2, make([]float64, len(m.grips)))
				for y, gb := range m.grips {
					two[x][y], fixed2[x][y] = fitted(func(t *tally) { e.step(t, a, ga, m, gb) })
				}
			}
		}
		l.two, l.fixed2 = append(l.two, two), append(l.fixed2, fixed2)
		var three [][][][]term
		if i > 1 {
			a, b := &ms[i-2], &ms[i-1]
			for x, ga := range a.grips {
				three = append(three, make([][][]term, len(b.grips)))
				for y, gb := range b.grips {
					three[x][y] = make([][]term, len(m.grips))
					for z, gc := range m.grips {
						three[x][y][z], _ = fitted(func(t *tally) { e.turn(t, a, ga, b, gb, m, gc) })
					}
				}
			}
		}
		l.three = append(l.three, three)
	}
	return l
}

// nearest is the grip that has most of the printed fingers, the struck ones first.
func (l *lesson) nearest(m *moment) int {
	best, least := 0, math.MaxInt
	for i, g := range m.grips {
		miss := 0
		for j, n := range m.notes {
			if int(g[j]) != l.finger[n] {
				miss += 1 + 9*bit(m.struck[j])
			}
		}
		if miss < least {
			best, least = i, miss
		}
	}
	return best
}

// unit is how many whole-number weights make one unit of log likelihood.
const unit = 1000

func rounded(w []float64) []int {
	out := make([]int, len(w))
	for i := range w {
		out[i] = int(math.Round(w[i] * unit))
	}
	return out
}

// fit finds the weights; they are efforts, and those of the rules are not less than 0.
func fit(learn []*lesson) []float64 {
	w, g, sum := make([]float64, weightCount), make([]float64, weightCount), make([]float64, weightCount)
	fixed := make([]bool, weightCount)
	for _, b := range blocks {
		if strings.Contains(","+*without+",", ","+b.name+",") {
			for i := range b.count() {
				fixed[b.from+i] = true
			}
		}
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range *passes {
		random.Shuffle(len(learn), func(i, j int) { learn[i], learn[j] = learn[j], learn[i] })
		for _, l := range learn {
			clear(g)
			l.gradient(w, g)
			for i := range w {
				pull := *shrink
				if i < ruleTerm.from+ruleTerm.count() {
					pull /= 20
				}
				d := g[i] - pull*w[i]/float64(len(learn))
				if d == 0 || fixed[i] {
					continue
				}
				sum[i] += d * d
				w[i] += 0.15 * d / (math.Sqrt(sum[i]) + 1e-3)
				if i < ruleTerm.from+ruleTerm.count() {
					w[i] = max(w[i], 0)
				}
			}
		}
	}
	return w
}

// gradient adds up by how much each term counts more often in the fingerings
// that the weights expect than in the printed one.
func (l *lesson) gradient(w, g []float64) {
	ms := l.piece.moments
	n := len(ms)
	if n < 3 {
		return
	}
	ease := func(terms []term, fixed float64) float64 {
		s := fixed
		for _, t := range terms {
			s += w[t.place] * float64(t.times)
		}
		return -s
	}
	count := func(terms []term, p float64) {
		if math.Abs(p) < 1e-6 {
			return
		}
		for _, t := range terms {
			g[t.place] += p * float64(t.times)
		}
	}
	for i, x := range l.gold {
		count(l.one[i][x], -1)
		if i > 0 {
			count(l.two[i][l.gold[i-1]][x], -1)
		}
		if i > 1 {
			count(l.three[i][l.gold[i-2]][l.gold[i-1]][x], -1)
		}
	}
	grips := func(i int) int { return len(ms[i].grips) }
	one, two := make([][]float64, n), make([][][]float64, n)
	for i := range n {
		one[i] = make([]float64, grips(i))
		for x := range one[i] {
			one[i][x] = ease(l.one[i][x], l.fixed1[i][x])
		}
		if i > 0 {
			two[i] = table(grips(i-1), grips(i))
			for x := range two[i] {
				for y := range two[i][x] {
					two[i][x][y] = ease(l.two[i][x][y], l.fixed2[i][x][y]) + one[i][y]
				}
			}
		}
	}
	three := make([][][][]float64, n)
	alpha := make([][][]float64, n)
	alpha[1] = table(grips(0), grips(1))
	top := math.Inf(-1)
	for x := range alpha[1] {
		for y := range alpha[1][x] {
			alpha[1][x][y] = one[0][x] + two[1][x][y]
			top = max(top, alpha[1][x][y])
		}
	}
	for x := range alpha[1] {
		for y := range alpha[1][x] {
			alpha[1][x][y] = math.Exp(alpha[1][x][y] - top)
		}
	}
	for i := 2; i < n; i++ {
		alpha[i] = table(grips(i-1), grips(i))
		three[i] = make([][][]float64, grips(i-2))
		top := math.Inf(-1)
		for x := range three[i] {
			three[i][x] = table(grips(i-1), grips(i))
			for y := range three[i][x] {
				for z := range three[i][x][y] {
					v := ease(l.three[i][x][y][z], 0) + two[i][y][z]
					three[i][x][y][z] = v
					top = max(top, v)
				}
			}
		}
		total := 0.0
		for x := range three[i] {
			for y := range three[i][x] {
				for z := range three[i][x][y] {
					v := math.Exp(three[i][x][y][z] - top)
					three[i][x][y][z] = v
					alpha[i][y][z] += alpha[i-1][x][y] * v
					total += alpha[i-1][x][y] * v
				}
			}
		}
		scale(alpha[i], total)
	}
	beta := table(grips(n-2), grips(n-1))
	for x := range beta {
		for y := range beta[x] {
			beta[x][y] = 1
		}
	}
	for i := n - 1; i >= 1; i-- {
		total := 0.0
		for x := range beta {
			for y := range beta[x] {
				total += alpha[i][x][y] * beta[x][y]
			}
		}
		for x := range beta {
			for y := range beta[x] {
				p := alpha[i][x][y] * beta[x][y] / total
				count(l.two[i][x][y], p)
				count(l.one[i][y], p)
				if i == 1 {
					count(l.one[0][x], p)
				}
			}
		}
		if i == 1 {
			break
		}
		earlier := table(grips(i-2), grips(i-1))
		total, sum := 0.0, 0.0
		for x := range earlier {
			for y := range earlier[x] {
				for z := range beta[y] {
					earlier[x][y] += three[i][x][y][z] * beta[y][z]
				}
				total += alpha[i-1][x][y] * earlier[x][y]
				sum += earlier[x][y]
			}
		}
		for x := range earlier {
			for y := range earlier[x] {
				for z := range beta[y] {
					count(l.three[i][x][y][z], alpha[i-1][x][y]*three[i][x][y][z]*beta[y][z]/total)
				}
			}
		}
		scale(earlier, sum)
		beta = earlier
	}
}

func table(rows, columns int) [][]float64 {
	t := make([][]float64, rows)
	for i := range t {
		t[i] = make([]float64, columns)
	}
	return t
}

func scale(t [][]float64, by float64) {
	for i := range t {
		for j := range t[i] {
			t[i][j] /= by
		}
	}
}

// effortFile is the file that readEffort reads.
func effortFile() string {
	var b strings.Builder
	b.WriteString("# Weights of the effort of a fingering, in thousandths: see effort.go. Written by: go test ./detect/hand -run Tune -tune\n")
	for _, k := range blocks {
		row := k.size[len(k.size)-1]
		for at := 0; at < k.count(); at += row {
			weights := effort[k.from+at : k.from+at+row]
			if strings.Trim(fmt.Sprint(weights), "[0 ]") == "" {
				continue
			}
			b.WriteString(k.name)
			rest := at / row
			var index []string
			for i := len(k.size) - 2; i >= 0; i-- {
				index = append([]string{fmt.Sprint(rest % k.size[i])}, index...)
				rest /= k.size[i]
			}
			for _, x := range index {
				b.WriteString(" " + x)
			}
			fmt.Fprintf(&b, ": %s\n", strings.Trim(fmt.Sprint(weights), "[]"))
		}
	}
	return b.String()
}
