package sheet

import (
	"fmt"
	"slices"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

// keyboard draws a stretch of piano keys to scale.
type keyboard struct {
	low, high int     // MIDI keys at its ends, both white
	scale     float64 // mm on paper for one mm of keyboard
	x, y      float64 // its top left corner
}

const (
	keyLength   = 17.0
	blackLength = 10.8
	mostScale   = 0.34 // so that two octaves fill the width
)

// keyboardFor shows all of keys with a white key to spare on both sides, and
// no less than an octave and a half, in at most width.
func keyboardFor(keys []int, x, y, width float64) keyboard {
	low, high := slices.Min(keys)-2, slices.Max(keys)+2
	for high-low < 18 {
		low, high = low-1, high+1
	}
	low, high = min(max(low, lowestKey), slices.Min(keys)), max(min(high, highestKey), slices.Max(keys))
	if hand.IsBlack(low) {
		low--
	}
	if hand.IsBlack(high) {
		high++
	}
	k := keyboard{low: low, high: high, x: x, y: y}
	k.scale = min(mostScale, width/(hand.Distance(low, high)+hand.KeyWidth(low)))
	return k
}

const lowestKey, highestKey = 21, 108 // A0 and C8

// at is the centre of a key on the page.
func (k keyboard) at(key int) float64 {
	return k.x + (hand.KeyX(key)-hand.KeyX(k.low)+hand.KeyWidth(k.low)/2)*k.scale
}

// right is where the keyboard ends.
func (k keyboard) right() float64 { return k.at(k.high) + hand.KeyWidth(k.high)*k.scale/2 }

// spot is where a finger meets a key on the page: low on the white keys, and
// in the middle of what is seen of the black ones.
func (k keyboard) spot(key int) (x, y float64) {
	if hand.IsBlack(key) {
		return k.at(key), k.y + blackLength - 3.2
	}
	return k.at(key), k.y + keyLength - 3
}

func (k keyboard) draw(c canvas) {
	for key := k.low; key <= k.high; key++ {
		if !hand.IsBlack(key) {
			k.drawKey(c, key, keyLength, white)
		}
	}
	for key := k.low; key <= k.high; key++ {
		if hand.IsBlack(key) {
			k.drawKey(c, key, blackLength, 70)
		}
		if key%12 == 0 {
			name := fmt.Sprintf("C%d", key/12-1)
			half := c.width(name, smallFace) / 2
			centred(c, max(k.x+half, min(k.at(key), k.right()-half)), k.y+keyLength+3.8, name, smallFace)
		}
	}
}

func (k keyboard) drawKey(c canvas, key int, length float64, fill grey) {
	w := hand.KeyWidth(key) * k.scale
	c.box(k.at(key)-w/2, k.y, w, length, fill, pen{weight: 0.2, shade: 70})
}

// radius of a finger's mark.
func (k keyboard) radius() float64 { return min(2.3, 9.5*k.scale) }

// ring marks a key that is left, disc one that is struck. Both stand out on
// white keys and on black ones.
func (k keyboard) ring(c canvas, key int) {
	x, y := k.spot(key)
	c.oval(x, y, k.radius(), k.radius(), 0, white, medium)
}

func (k keyboard) disc(c canvas, key int) {
	x, y := k.spot(key)
	c.oval(x, y, k.radius(), k.radius(), 0, black, pen{weight: 0.5, shade: white})
}

// numbered marks a key with the place in the order of playing.
func (k keyboard) numbered(c canvas, key int, n int) {
	x, y := k.spot(key)
	c.oval(x, y, 2.3, 2.3, 0, white, thin)
	centred(c, x, y+1.15, fmt.Sprint(n), numberFace)
}

// measure is a line with arrows at both ends and its length written over it.
func measure(c canvas, x1, x2, y float64, words string) {
	c.line(x1, y, x2, y, thin)
	c.line(x1, y-1.2, x1, y+1.2, thin)
	c.line(x2, y-1.2, x2, y+1.2, thin)
	centred(c, (x1+x2)/2, y-1.2, words, numberFace)
}

func moveCaption(m detect.KeyMove) string {
	return fmt.Sprintf("%s: from the rings to the discs in %s. The keyboard is drawn to scale.",
		sentence(m.Hand.Name()), detect.SecondsWords(m.Seconds))
}

// drawMove shows where the hand comes from and where it lands, and the way
// between by name.
func drawMove(m detect.KeyMove) drawing {
	const above, height = 11.0, 11 + keyLength + 5
	return drawing{height, func(c canvas, x, y, width float64) {
		k := keyboardFor(append(slices.Clone(m.From), m.To...), x, y+above, width)
		k.draw(c)
		for _, key := range m.From {
			k.ring(c, key)
		}
		for _, key := range m.To {
			k.disc(c, key)
		}
		from, to := m.Travel()
		x1, x2, top := k.at(from), k.at(to), k.y-0.6
		middle := (x1 + x2) / 2
		c.curve(x1, top, middle, top-11, x2, top, medium)
		arrowhead(c, middle, top-11, x2, top)
		words := score.Interval(to - from)
		words = clip(c, words, strongFace, width-2)
		half := c.width(words, strongFace)/2 + 1
		middle = max(x+half, min(middle, x+width-half))
		c.box(middle-half, y+1.2, 2*half, 5.6, white, noPen)
		centred(c, middle, y+5.4, words, strongFace)
	}}
}

func spreadCaption(s detect.KeyChord) string {
	asked := "It asks for " + score.Interval(s.Keys[len(s.Keys)-1]-s.Keys[0])
	if s.ReachMM > 0 && s.SpanMM > s.ReachMM {
		asked += ", more than this hand reaches"
	}
	switch {
	case s.Fingers != nil:
		return asked + ". All at once, with the fingers of the numbers; the thumb is 1."
	case s.Sign && s.Downward:
		return asked + ". The sign asks to roll it from the top down, in the order of the numbers."
	case s.Sign:
		return asked + ". The sign asks to roll it from the bottom up, in the order of the numbers."
	case s.ReachMM > 0 && s.SpanMM > s.ReachMM:
		return asked + ". No sign stands in the score; the hand has to roll it, in the order of the numbers."
	}
	return asked + "."
}

// drawSpread shows the keys with their fingers or in the order in which they
// are rolled, under what they ask of the hand and what it reaches, to the same
// scale.
func drawSpread(s detect.KeyChord) drawing {
	const above, height = 15.0, 15 + keyLength + 5
	return drawing{height, func(c canvas, x, y, width float64) {
		k := keyboardFor(s.Keys, x, y+above, width)
		k.draw(c)
		for i, key := range s.Keys {
			k.numbered(c, key, spreadNumber(s, i))
		}
		left := (k.at(s.Keys[0])+k.at(s.Keys[len(s.Keys)-1]))/2 - s.SpanMM*k.scale/2
		measure(c, left, left+s.SpanMM*k.scale, k.y-8.6, "asked")
		if s.ReachMM > 0 {
			measure(c, left, left+s.ReachMM*k.scale, k.y-2, "this hand's reach")
		}
	}}
}

// spreadNumber is what stands on a key: its finger, or its place in the order.
func spreadNumber(s detect.KeyChord, i int) int {
	switch {
	case s.Fingers != nil:
		return s.Fingers[i]
	case s.Downward:
		return len(s.Keys) - i
	}
	return i + 1
}
