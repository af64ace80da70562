package sheet

import (
	"fmt"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// mostPairs is how many double notes the staff shows; the rest is counted.
const mostPairs = 14

func pairsCaption(p detect.PairRun) string {
	first, last := p.Pairs[0], p.Pairs[len(p.Pairs)-1]
	text := fmt.Sprintf("%d in a row, %.1f a second, from %s to %s; here on the %s staff.",
		len(p.Pairs), p.PerSecond, names(first[:]), names(last[:]), staffFor(p).name())
	if more := len(p.Pairs) - mostPairs; more > 0 {
		text += fmt.Sprintf(" The staff shows the first %d.", mostPairs)
	}
	return text
}

// staff is five lines and where pitches stand on them.
type staff struct {
	x, y, width float64 // of the top line
	top         int     // score.Pitch.Staff of the top line
}

const staffSpace = 2.3 // mm between lines

const (
	trebleTop = 38 // F5
	bassTop   = 26 // A3
)

// at is the height of a staff position on the page.
func (s staff) at(position int) float64 {
	return s.y + float64(s.top-position)*staffSpace/2
}

func (s staff) name() string {
	if s.top == trebleTop {
		return "treble"
	}
	return "bass"
}

// shown is the part of the run that the staff has room for.
func shown(p detect.PairRun) [][2]score.Pitch { return p.Pairs[:min(len(p.Pairs), mostPairs)] }

// compass is the lowest and the highest staff position of what is shown.
func compass(p detect.PairRun) (low, high int) {
	low, high = p.Pairs[0][0].Staff(), p.Pairs[0][1].Staff()
	for _, pair := range shown(p) {
		low, high = min(low, pair[0].Staff()), max(high, pair[1].Staff())
	}
	return low, high
}

// staffFor is treble or bass, whichever the run keeps nearer to.
func staffFor(p detect.PairRun) staff {
	const middleC = 28
	if low, high := compass(p); low+high >= 2*middleC {
		return staff{top: trebleTop}
	}
	return staff{top: bassTop}
}

// drawPairs writes the run on a small staff.
func drawPairs(p detect.PairRun) drawing {
	s := staffFor(p)
	low, high := compass(p)
	above := 4 + max(0, float64(high-s.top)*staffSpace/2)
	below := 2 + max(0, float64(s.top-8-low)*staffSpace/2)
	return drawing{above + 4*staffSpace + below, func(c canvas, x, y, width float64) {
		pairs := shown(p)
		step := min(12, (width-8)/float64(len(pairs)))
		s.x, s.y, s.width = x, y+above, 8+step*float64(len(pairs))
		for i := range 5 {
			ly := s.y + float64(i)*staffSpace
			c.line(x, ly, x+s.width, ly, thin)
		}
		for i, pair := range pairs {
			s.pair(c, x+8+float64(i)*step, pair)
		}
	}}
}

// pair writes two notes one over the other.
func (s staff) pair(c canvas, x float64, pair [2]score.Pitch) {
	shift := 0.0
	if pair[1].Staff()-pair[0].Staff() < 2 {
		shift = 2.6 // seconds and unisons stand side by side
	}
	s.head(c, x, pair[0])
	s.head(c, x+shift, pair[1])
	for position := s.top + 2; position <= pair[1].Staff(); position += 2 {
		s.ledger(c, x, position)
	}
	for position := s.top - 10; position >= pair[0].Staff(); position -= 2 {
		s.ledger(c, x, position)
	}
}

func (s staff) ledger(c canvas, x float64, position int) {
	c.line(x-2.4, s.at(position), x+2.4, s.at(position), thin)
}

func (s staff) head(c canvas, x float64, p score.Pitch) {
	y := s.at(p.Staff())
	c.oval(x, y, 1.45, 1.05, 20, black, noPen)
	if p.Alter != 0 {
		sign := strings.Repeat(map[bool]string{true: "♯", false: "♭"}[p.Alter > 0], max(p.Alter, -p.Alter))
		flushRight(c, x-1.7, y+1.1, sign, smallFace)
	}
}
