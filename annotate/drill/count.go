package drill

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/score"
)

// tapOn is the pitch of taps: on the middle line of each staff, without an
// accidental.
func tapOn(hand score.Hand, key score.Key) score.Pitch {
	p := score.Pitch{Step: 'B', Octave: 4}
	if hand == score.Left {
		p = score.Pitch{Step: 'D', Octave: 3}
	}
	p.Alter = key.Alter(p.Step)
	return p
}

// mostCounted is the highest number that a player counts to. Common practice.
const mostCounted = 24

// cell is one cycle of a cross-rhythm, as often as it takes to fill bars.
type cell struct {
	*passage
	detect.RhythmGrid
	time  score.Time
	key   score.Key
	times int
}

// crossRhythm is the composite on one line with the count beneath, each hand
// tapping against it, each hand playing against the other's taps, then the notes.
func (g *passage) crossRhythm(d detect.RhythmGrid) []exercise {
	c := g.newCell(d)
	if d.Groups != nil {
		return c.byGroups()
	}
	right, left := c.taps(score.Right), c.taps(score.Left)
	composite := c.composite()
	made := []struct {
		title   string
		strikes []strike
	}{
		{"Both rhythms on one line: tap, and say the words", composite},
		{"The right hand taps against it", slices.Concat(wordless(composite), c.onLower(right))},
		{"The left hand taps against it", slices.Concat(wordless(composite), left)},
		{"Right plays, left taps", slices.Concat(c.notes(score.Right), left)},
		{"Left plays, right taps", slices.Concat(right, c.notes(score.Left))},
		{"The notes", slices.Concat(c.notes(score.Right), c.notes(score.Left))},
	}
	var all []exercise
	for i, m := range made {
		e := c.exercise(m.title, m.strikes)
		e.sameLine = i%2 == 0 && i > 0 && len(e.bars) == 1 // two by two
		all = append(all, e)
	}
	return all
}

// newCell chooses bars for a cycle: the piece's own, where the cycle fills them
// or they hold several, otherwise bars as long as the cycle.
func (g *passage) newCell(d detect.RhythmGrid) *cell {
	bar := &g.Score.Bars[g.Score.BarAt(g.o.From)]
	c := &cell{passage: g, RhythmGrid: d, time: fullTime(bar), key: bar.Key, times: 1}
	switch bars, in := d.Span.Div(c.time.Length), c.time.Length.Div(d.Span); {
	case bars.Den() == 1:
	case in.Den() == 1:
		c.times = int(in.Num())
	default:
		c.time = timeOf(d.Span)
	}
	return c
}

func (c *cell) exercise(title string, strikes []strike) exercise {
	var all []strike
	for n := range c.times {
		for _, s := range strikes {
			s.at = s.at.Add(c.Span.Mul(score.Int(int64(n))))
			all = append(all, s)
		}
	}
	return exercise{title: title, pace: c.start, bars: lay(c.time, c.key, all)}
}

// part is a number of grid parts in quarters.
func (c *cell) part(n int) score.Rat { return c.Span.Mul(score.R(int64(n), int64(c.Grid))) }

// tapped are taps on one line, each as long as it is to the next.
func (c *cell) tapped(hand score.Hand, attacks []int) []strike {
	var all []strike
	for i, a := range attacks {
		next := c.Grid
		if i+1 < len(attacks) {
			next = attacks[i+1]
		}
		s := sound{at: c.part(a), length: c.part(next - a), tones: []tone{{pitch: tapOn(hand, c.key)}}, tap: true}
		all = append(all, strike{hand, s})
	}
	return all
}

// taps is a hand's own rhythm.
func (c *cell) taps(hand score.Hand) []strike {
	if hand == score.Right {
		return c.tapped(hand, c.Right)
	}
	return c.tapped(hand, c.Left)
}

// composite is the rhythm of both hands, with the numbers that each note lasts
// and who strikes it beneath.
func (c *cell) composite() []strike {
	attacks := slices.Concat(c.Right, c.Left)
	slices.Sort(attacks)
	attacks = slices.Compact(attacks)
	unit := c.Grid
	for _, a := range attacks {
		unit = gcd(unit, a)
	}
	all := c.tapped(score.Right, attacks)
	for i, a := range attacks {
		next := c.Grid
		if i+1 < len(attacks) {
			next = attacks[i+1]
		}
		if c.Grid/unit <= mostCounted {
			all[i].lyrics = append(all[i].lyrics, counted(a/unit+1, next/unit))
		}
		all[i].lyrics = append(all[i].lyrics, c.who(a))
	}
	return all
}

// counted is what is said from one number to another.
func counted(from, to int) string {
	if from == to {
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d–%d", from, to)
}

func (c *cell) who(attack int) string {
	right, left := slices.Contains(c.Right, attack), slices.Contains(c.Left, attack)
	switch {
	case right && left:
		return "both"
	case right:
		return "R"
	}
	return "L"
}

// wordless is strikes without their words, for a line to play against.
func wordless(strikes []strike) []strike {
	strikes = slices.Clone(strikes)
	for i := range strikes {
		strikes[i].lyrics = nil
	}
	return strikes
}

// onLower is taps on the lower staff.
func (c *cell) onLower(strikes []strike) []strike {
	strikes = slices.Clone(strikes)
	for i := range strikes {
		strikes[i].hand = score.Left
		strikes[i].tones = []tone{{pitch: tapOn(score.Left, c.key)}}
	}
	return strikes
}

// notes is what a hand strikes in the cycle, each until its next attack.
func (c *cell) notes(hand score.Hand) []strike {
	var all []strike
	end := c.o.From.Add(c.Span)
	for _, struck := range c.struck(hand) {
		n := &c.Score.Notes[struck[0]]
		if n.Grace > 0 || n.Onset.Less(c.o.From) || !n.Onset.Less(end) {
			continue
		}
		at := n.Onset.Sub(c.o.From)
		if len(all) > 0 {
			before := &all[len(all)-1]
			before.length = score.Min(before.length, at.Sub(before.at))
		}
		longest := score.Rat{}
		for _, i := range struck {
			longest = score.Max(longest, c.Score.Notes[i].Length)
		}
		s := sound{at: at, length: score.Min(longest, c.Span.Sub(at)), tones: c.tones(struck)}
		all = append(all, strike{hand, s})
	}
	return all
}

// tones are notes of the piece that are struck together.
func (g *passage) tones(notes []int) []tone {
	var tones []tone
	for _, i := range notes {
		n := &g.Score.Notes[i]
		if !slices.ContainsFunc(tones, func(t tone) bool { return t.pitch == n.Pitch }) {
			tones = append(tones, tone{pitch: n.Pitch, note: n})
		}
	}
	slices.SortStableFunc(tones, byPitch)
	return tones
}

// byGroups is for a run too fine to count: the slower hand, with the first note
// of each group of the run, then with all of it.
func (c *cell) byGroups() []exercise {
	fast, slow := score.Right, score.Left
	attacks, under := c.Right, c.Left
	if len(attacks) < len(under) {
		fast, slow, attacks, under = slow, fast, under, attacks
	}
	run := c.notes(fast)
	var firsts []strike
	for i, u := range under {
		next := c.Grid
		if i+1 < len(under) {
			next = under[i+1]
		}
		n := slices.IndexFunc(attacks, func(a int) bool { return a >= u })
		if n < 0 || n >= len(run) || attacks[n] >= next {
			continue
		}
		first := run[n]
		first.at, first.length = c.part(u), c.part(next-u)
		firsts = append(firsts, first)
	}
	return []exercise{
		c.exercise(fmt.Sprintf("%s hand with the first note of each group", sentence(slow.String())), slices.Concat(firsts, c.notes(slow))),
		c.exercise("All the notes: the slower hand leads", slices.Concat(run, c.notes(slow))),
	}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
