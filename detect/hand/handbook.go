package hand

import "hardbars/score"

// Handbooks agree on the fingers of scales and arpeggios, and players know
// them by heart: a run of an octave or more is taken with these (common
// practice, from memory). The first and the last note of a run are left to
// what comes before and after it, but for a black key on the side of the fifth
// finger, which does not take it.

// runFingers are the fingers of a run by the steps of its scale or chord,
// counted from the keynote up.
type runFingers struct{ right, left string }

// majorScale and minorScale are by keynote, from C; minor is harmonic.
var (
	majorScale = [12]runFingers{
		{"1231234", "1432132"}, {"2312341", "3214321"}, {"1231234", "1432132"}, {"3123412", "3214321"},
		{"1231234", "1432132"}, {"1234123", "1432132"}, {"2341231", "4321321"}, {"1231234", "1432132"},
		{"3412312", "3214321"}, {"1231234", "1432132"}, {"4123123", "3214321"}, {"1231234", "1321432"},
	}
	minorScale = [12]runFingers{
		{"1231234", "1432132"}, {"3412312", "3214321"}, {"1231234", "1432132"}, {"3123412", "2143213"},
		{"1231234", "1432132"}, {"1234123", "1432132"}, {"3412312", "4321321"}, {"1231234", "1432132"},
		{"3412312", "3214321"}, {"1231234", "1432132"}, {"4123123", "2132143"}, {"1231234", "1321432"},
	}
	majorTriad = [12]runFingers{
		{"123", "142"}, {"412", "214"}, {"123", "132"}, {"412", "214"}, {"123", "132"}, {"123", "142"},
		{"123", "132"}, {"123", "142"}, {"412", "214"}, {"123", "132"}, {"412", "321"}, {"123", "132"},
	}
	minorTriad = [12]runFingers{
		{"123", "142"}, {"412", "214"}, {"123", "142"}, {"123", "142"}, {"123", "142"}, {"123", "142"},
		{"412", "214"}, {"123", "142"}, {"412", "214"}, {"123", "142"}, {"231", "321"}, {"123", "142"},
	}
)

// Runs that handbooks finger, by the semitones of their steps from the keynote.
var handbookRun = []struct {
	steps   []int
	fingers *[12]runFingers
}{
	{[]int{0, 2, 4, 5, 7, 9, 11}, &majorScale},
	{[]int{0, 2, 3, 5, 7, 8, 11}, &minorScale},
	{[]int{0, 4, 7}, &majorTriad},
	{[]int{0, 3, 7}, &minorTriad},
}

// handbookRuns gives the inner notes of scales and arpeggios their fingers.
func handbookRuns(moments []moment, side score.Hand) {
	for first := 0; first < len(moments); {
		last := first
		for last+1 < len(moments) && goesOn(moments[first:], last-first) {
			last++
		}
		fingerRun(moments[first:last+1], side)
		first = max(last, first+1)
	}
}

// goesOn reports whether a run of single notes one way goes on after its nth.
func goesOn(moments []moment, n int) bool {
	a, b := &moments[n], &moments[n+1]
	if len(a.keys) != 1 || len(b.keys) != 1 || b.gap != noGap || b.notes[0] == ornament || a.notes[0] == ornament {
		return false
	}
	step := b.keys[0] - a.keys[0]
	if step == 0 || abs(step) > 5 {
		return false
	}
	return n == 0 || sign(step) == sign(a.keys[0]-moments[n-1].keys[0])
}

func fingerRun(run []moment, side score.Hand) {
	if len(run) < 4 || abs(run[len(run)-1].keys[0]-run[0].keys[0]) < 12 {
		return
	}
	classes := 0
	for i := range run {
		classes |= 1 << PitchClass(mirrored(side, run[i].keys[0]))
	}
	first, last := PitchClass(mirrored(side, run[0].keys[0])), PitchClass(mirrored(side, run[len(run)-1].keys[0]))
	if isChromatic(run) {
		for i := 1; i < len(run)-1; i++ {
			run[i].handbk = chromaticFinger(side, mirrored(side, run[i].keys[0]))
		}
		return
	}
	for _, h := range handbookRun {
		for _, tonic := range []int{first, last} {
			set := 0
			for _, s := range h.steps {
				set |= 1 << ((tonic + s) % 12)
			}
			if within := abs(run[len(run)-1].keys[0]-run[0].keys[0]) <= 12; set != classes || within && len(h.steps) == 3 {
				continue // a chord of one octave lies under one hand
			}
			fingers := h.fingers[tonic].right
			if side == score.Left {
				fingers = h.fingers[tonic].left
			}
			for i := range run {
				for d, s := range h.steps {
					finger := int(fingers[d] - '0')
					if (tonic+s)%12 == PitchClass(mirrored(side, run[i].keys[0])) && (inside(run, i) || finger > 1 && blackTop(run, i)) {
						run[i].handbk = finger
					}
				}
			}
			return
		}
	}
}

func inside(run []moment, i int) bool { return i > 0 && i < len(run)-1 }

// blackTop reports whether a note of a run is its last key on the side of the
// fifth finger, and black.
func blackTop(run []moment, i int) bool {
	key := run[i].keys[0]
	return IsBlack(key) && key >= run[0].keys[0] && key >= run[len(run)-1].keys[0]
}

func isChromatic(run []moment) bool {
	return abs(run[len(run)-1].keys[0]-run[0].keys[0]) == len(run)-1
}

// chromaticFinger is 3 on black keys, and on white ones the thumb, but 2 on the
// second of two white neighbours.
func chromaticFinger(side score.Hand, key int) int {
	switch pc := PitchClass(key); {
	case IsBlack(key):
		return 3
	case side == score.Right && (pc == 0 || pc == 5), side == score.Left && (pc == 4 || pc == 11):
		return 2
	}
	return 1
}

// handbookCost is the effort of leaving the handbook's fingers.
func handbookCost(m *moment, g grip) int {
	return handbook * bit(m.handbk != 0 && int(g[0]) != m.handbk)
}
