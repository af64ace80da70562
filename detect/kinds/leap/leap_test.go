package leap

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// leapsIn describes the leaps of a score: "left C3>E5 +28".
func leapsIn(r *detect.Report) string {
	var all []string
	for _, o := range detecttest.Found(r, Detector.Kind) {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s %s>%s %+d", o.Hand, d.From, d.To, d.Semitones))
	}
	return strings.Join(all, ", ")
}

// Fitts 1954, reciprocal tapping with a 1-oz stylus, as tabulated in MacKenzie
// 1991, chapter 2, table 1: amplitude and width in inches, index of difficulty
// in bits, movement time in ms, index of performance in bits a second.
func TestFittsTable(t *testing.T) {
	sum := 0.0
	rows := [][5]float64{
		{2, 2, 1, 180, 5.56}, {2, 1, 2, 212, 9.43}, {4, 2, 2, 203, 9.85}, {2, 0.5, 3, 281, 10.68},
		{4, 1, 3, 260, 11.54}, {8, 2, 3, 279, 10.75}, {2, 0.25, 4, 392, 10.20}, {4, 0.5, 4, 372, 10.75},
		{8, 1, 4, 357, 11.20}, {16, 2, 4, 388, 10.31}, {4, 0.25, 5, 484, 10.33}, {8, 0.5, 5, 469, 10.66},
		{16, 1, 5, 481, 10.40}, {8, 0.25, 6, 580, 10.34}, {16, 0.5, 6, 595, 10.08}, {16, 0.25, 7, 731, 9.58},
	}
	for _, row := range rows {
		bits := detect.IndexOfDifficulty(row[0], row[1])
		if bits != row[2] {
			t.Errorf("A %g, W %g: %g bits, want %g", row[0], row[1], bits, row[2])
		}
		perSecond := bits / (row[3] / 1000)
		if math.Abs(perSecond-row[4]) > 0.0051 {
			t.Errorf("A %g, W %g: %.3f bits a second, want %g", row[0], row[1], perSecond, row[4])
		}
		sum += perSecond
	}
	if mean := sum / float64(len(rows)); math.Abs(mean-10.10) > 0.0051 {
		t.Errorf("mean %.3f bits a second, want 10.10", mean)
	}
}

func TestLeapsFound(t *testing.T) {
	for _, c := range []struct {
		name, time  string
		right, left string
		want        string
	}{
		{"a scale", "", "C4:1 D4:1 E4:1 F4:1", "", ""},
		{"an octave", "", "C4:2 C5:2", "", ""},
		{"an octave and a semitone, past the comfort of 201 mm and within its reach", "", "C4:2 C#5:2", "", ""},
		{"a ninth", "", "C4:2 D5:2", "", ""},
		{"a tenth", "", "C4:2 E5:2", "", "right C4>E5 +16"},
		{"a chord too wide for any hand is left from its top", "", "", "C2+G2+E4:2 C4+E4+G4:2", ""},
		{"and is come to at its bottom", "", "", "C4+E4:2 C2+G2+E4:2", "left E4>G2 -21"},
		{"bass and chord", "3/4", "", "C2:1 E3+G3+C4:1 E3+G3+C4:1", "left C2>E3 +16"},
		{"and back to the bass", "3/4", "", "C2:1 E3+G3:1 E3+G3:1 | G1:3", "left C2>E3 +16, left E3>G1 -21"},
		{"a chord that stays on its bottom key opens, it does not travel", "", "C4:2 C4+E5:2", "", ""},
		{"a hand that opens both ways does not travel", "", "E4:2 A3+B4:2", "", ""},
		{"octaves a step apart are a run, not a leap", "", "C4+C5:2 D4+D5:2", "", ""},
		{"octaves a fourth apart", "", "C4+C5:2 F4+F5:2", "", "right C5>F5 +5"},
		{"triads a fourth apart stay within the octave", "", "", "C3+E3+G3:2 F3+A3+C4:2", ""},
		{"triads an octave apart", "", "", "C3+E3+G3:2 C4+E4+G4:2", "left C3>C4 +12"},
		{"the nearer edge is measured", "", "", "C2:2 C4+E4+G4:2", "left C2>C4 +24"},
		{"the nearer edge is measured going down", "", "", "C4+E4+G4:2 C2:2", "left C4>C2 -24"},
		{"a bar's rest and the hand starts anew", "", "C4:1 r:3 | r:4 | C6:4", "", ""},
		{"a short rest is time for the leap", "", "C4:1 r:1 C6:2", "", "right C4>C6 +24"},
		{"a unison of two voices is one key", "", "C4:2 C6:2", "", "right C4>C6 +24"},
		{"two hands near each other do not leap", "", "C5:2 D5:2", "C3:2 D3:2", ""},
		{"a grace note far below its note", "", "r:2 gC4 E5+G5:2", "", "right C4>E5 +16"},
		{"a grace note beside its note", "", "C5:2 gD5 C5:2", "", ""},
		{"to a grace note and back", "", "C5:2 gC3 C5:2", "", "right C5>C3 -24, right C3>C5 +24"},
		{"tied notes are one attack", "", "C4:2 E5:2~ | E5:2 C4:2", "", "right C4>E5 +16, right E5>C4 -16"},
	} {
		piece := scoretest.Piece{Time: c.time, QPM: 60}
		if c.right != "" {
			piece.Right = []string{c.right}
		}
		if c.left != "" {
			piece.Left = []string{c.left}
		}
		if got := leapsIn(detect.Analyze(piece.Score(t), detect.DefaultPlayer(), []*detect.Detector{Detector})); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
}

// In quick figures the finger that leaps is free while the others play.
func TestLeapsFromAPosition(t *testing.T) {
	const figure = "D#3:1/4 B3:1/4 G#3:1/4 B3:1/4 "
	for _, c := range []struct{ name, left, want string }{
		{"down from the lowest key", figure + "D#2:3", "left D#3>D#2 -12"},
		{"up from the highest", "B3:1/4 D#3:1/4 G#3:1/4 D#3:1/4 B4:3", "left B3>B4 +12"},
		{"to the next position", figure + "C#3:1/4 A#3:1/4 F#3:1/4 A#3:1/4 C#3:2", ""},
		{"to and fro within reach, past comfort, is no travel", strings.Repeat("C#3:1/4 D#4:1/4 G#3:1/4 D#4:1/4 ", 4), ""},
		{"in slow eighth notes the hand has gone on", "D#3:1/2 B3:1/2 G#3:1/2 B3:1/2 D#2:2", "left B3>D#2 -20"},
		{"broken octaves that go down by step", "C4:1/4 C5:1/4 B3:1/4 B4:1/4 A3:1/4 A4:1/4 r:5/2", ""},
		{"broken octaves that go down by a third and a fourth", "C4:1/4 C5:1/4 A3:1/4 A4:1/4 E3:1/4 E4:1/4 r:5/2", ""},
		{"from a grace note after a quick figure", "F3:1/4 E3:1/4 D3:1/4 E3:1/4 gE3 G4:3", "left E3>G4 +15"},
		{"slow broken octaves", "C4:1/2 C5:1/2 A3:1/2 A4:1/2 r:2", "left C5>A3 -15"},
		{"too few notes", "G#3:1/4 B3:1/4 D#2:7/2", "left B3>D#2 -20"},
		{"after a rest", "D#3:1/4 B3:1/4 r:1/4 B3:1/4 D#2:3", "left B3>D#2 -20"},
		{"more than lies under the hand", "D#3:1/4 F#4:1/4 G#3:1/4 B3:1/4 D#2:3", "left D#3>F#4 +15, left B3>D#2 -20"},
		{"the nearest key is last struck just before", "B3:1/4 G#3:1/4 B3:1/4 D#3:1/4 D#2:3", ""},
	} {
		s := scoretest.Piece{QPM: 60, Left: []string{c.left}}.Score(t)
		if got := leapsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})); got != c.want {
			t.Errorf("%s: found %q, want %q", c.name, got, c.want)
		}
	}
	found := detecttest.Found(detect.Analyze(scoretest.Piece{QPM: 60, Left: []string{figure + "D#2:3"}}.Score(t), detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
	if d := found[0].Detail.(Detail); d.Seconds != 1 || d.MM != 164.5 || found[0].From != score.Int(0) {
		t.Errorf("from attack to attack of the keys that are measured: %+v", d)
	}
}

func TestTwoVoicesAreOneHand(t *testing.T) {
	s := scoretest.Piece{Time: "3/4", QPM: 60, Left: []string{"C2:3 | C2:3", "r:1 E3+G3:2 | r:1 E3+G3:2"}}.Score(t)
	if got, want := leapsIn(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})), "left C2>E3 +16, left E3>C2 -16, left C2>E3 +16"; got != want {
		t.Errorf("found %q, want %q", got, want)
	}
}

func TestLeapInNumbers(t *testing.T) {
	s := scoretest.Piece{
		Time: "4/4", QPM: 120,
		Right: []string{"C5:1 C7:3"},
		Left:  []string{"@pp C4:1 Bb1:1 r:2"},
	}.Score(t)
	found := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)
	if len(found) != 2 {
		t.Fatalf("found %d leaps, want one in each hand", len(found))
	}
	d := found[1].Detail.(Detail)
	// 26 semitones from C4 to B♭1 are 15 white keys and a half; B♭1 is black. A
	// hand of 201 mm reaches 164.5 + 31 × 23.5/23 mm, a white key less in comfort.
	travel := 15.5*23.5 - (164.5 + 31*23.5/23 - 23.5)
	bits := math.Log2(2 * travel / 10.5)
	pitches := detecttest.Pitches("C4 Bb1")
	want := Detail{
		From: pitches[0], To: pitches[1], Measured: "bottom", Semitones: -26, MM: 364.3, TravelMM: detect.Round1(travel), Seconds: 0.5,
		Bits: detect.Round3(bits), BitsPerSecond: detect.Round3(2 * bits), Landing: pitches[1:],
		Black: true, Dynamic: "pp", OtherHand: true,
	}
	if fmt.Sprint(d) != fmt.Sprint(want) {
		t.Errorf("got  %+v\nwant %+v", d, want)
	}
	if got, want := found[1].Demand, 2*bits/detect.LeapRate.ByLevel[1]; math.Abs(got-want) > 1e-9 {
		t.Errorf("demand %g, want %g", got, want)
	}
	for _, words := range []string{"left hand", "down 26 semitones", "364 mm", "from C4 to B♭1", "0.50 s", "the other hand leaps"} {
		if !strings.Contains(found[1].Why, words) {
			t.Errorf("%q is not said in: %s", words, found[1].Why)
		}
	}
}

// What a hand holds it cannot leave, unless the pedal holds it or it is short.
func TestHandIsFree(t *testing.T) {
	for _, c := range []struct {
		left string
		want float64 // seconds at quarter = 60
	}{
		{"C2:1 C4:3", 1}, {"C2:3 C4:1", 1}, {"@ped C2:3 C4:1", 3}, {"C2:1 r:2 C4:1", 3}, {"C2:2 r:1 C4:1", 2},
	} {
		s := scoretest.Piece{QPM: 60, Left: []string{c.left}}.Score(t)
		if found := Detector.Find(s, detect.DefaultPlayer()); len(found) != 1 || found[0].Detail.(Detail).Seconds != c.want {
			t.Errorf("%s: want one leap with %g s for it: %+v", c.left, c.want, found)
		}
	}
}

// No hand does more than twice Fitts's rate: past that it is said and counts as that.
func TestNotPlayableAsRead(t *testing.T) {
	s := scoretest.Piece{QPM: 120, Left: []string{"C2:1/4 C6:1/4 r:7/2"}}.Score(t)
	o := Detector.Find(s, detect.DefaultPlayer())[0]
	if d := o.Detail.(Detail); !d.NotPlayable || d.BitsPerSecond != detect.MostBits || !strings.Contains(o.Why, "not playable as read") {
		t.Errorf("four octaves in an eighth of a second: %+v %s", d, o.Why)
	}
	slow := detect.DefaultPlayer()
	slow.Tempo.Share = 0.5
	if o := Detector.Find(s, slow)[0]; !o.Detail.(Detail).NotPlayable {
		t.Errorf("half the tempo does not make it what was meant: %s", o.Why)
	}
}

func TestChordLanding(t *testing.T) {
	s := scoretest.Piece{QPM: 60, Left: []string{"C2:1 E3+Bb3:3"}}.Score(t)
	d := detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind)[0].Detail.(Detail)
	// C2 to E3 is 9 white keys; from C2 to B♭3 are 12½, of which the open hand has
	// 172.7 mm; B♭3, the narrowest key of the chord, is black.
	if d.MM != 211.5 || d.TravelMM != 121.1 || !d.Black || !d.Chord || math.Abs(d.Bits-math.Log2(2*121.076/10.5)) > 0.001 {
		t.Errorf("got %+v", d)
	}
}

// The way to a grace note counts up to the beat, the way from it an eighth
// note, and never more than there is room for.
func TestGraceTime(t *testing.T) {
	for _, c := range []struct {
		text string
		want []float64 // seconds at quarter = 60
	}{
		{"C5:2 gC3 C5:2", []float64{1, 0.5}},
		{"C5:1/4 gC3 C5:3", []float64{0.25, 0.25}},
		{"C5:1/2 gC3 gC5 C3:3", []float64{0.5, 0.25, 0.25}},
		{"gC3 C5:4", []float64{0.5}},
	} {
		s := scoretest.Piece{QPM: 60, Right: []string{c.text}}.Score(t)
		var got []float64
		for _, o := range detecttest.Found(detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector}), Detector.Kind) {
			got = append(got, o.Detail.(Detail).Seconds)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v s, want %v", c.text, got, c.want)
		}
	}
}

// demand is that of the only leap from one key to another, 0 where there is none.
func demand(t *testing.T, p detect.Player, qpm float64, from, to string, length score.Rat) float64 {
	s := scoretest.Piece{QPM: qpm, Left: []string{fmt.Sprintf("%s:%s %s:1", from, length, to)}}.Score(t)
	found := detecttest.Found(detect.Analyze(s, p, []*detect.Detector{Detector}), Detector.Kind)
	if len(found) == 0 {
		return 0
	}
	return found[0].Demand
}

func TestLeapDemandGrows(t *testing.T) {
	p := detect.DefaultPlayer()
	one := score.Int(1)
	grows := func(what string, demands ...float64) {
		t.Helper()
		for i := 1; i < len(demands); i++ {
			if demands[i] < demands[i-1] {
				t.Errorf("%s: demand falls, %v", what, demands)
			}
		}
		if demands[len(demands)-1] <= demands[0] {
			t.Errorf("%s: demand does not grow, %v", what, demands)
		}
	}
	grows("faster", demand(t, p, 40, "C2", "E3", one), demand(t, p, 60, "C2", "E3", one), demand(t, p, 90, "C2", "E3", one))
	grows("shorter", demand(t, p, 60, "C2", "E3", score.Int(2)), demand(t, p, 60, "C2", "E3", one), demand(t, p, 60, "C2", "E3", score.R(1, 3)))
	grows("wider", demand(t, p, 60, "C2", "B2", one), demand(t, p, 60, "C2", "D3", one), demand(t, p, 60, "C2", "E3", one), demand(t, p, 60, "C2", "C5", one))
	grows("a smaller hand", demand(t, detecttest.WithSpan(226), 60, "C2", "D3", one), demand(t, detecttest.WithSpan(201), 60, "C2", "D3", one), demand(t, detecttest.WithSpan(170), 60, "C2", "D3", one))
	less := p
	less.Level = detect.Elementary
	grows("a lower level", demand(t, p, 60, "C2", "E3", one), demand(t, less, 60, "C2", "E3", one))
}

// The comfortable tempo is where demand is 1, and demand follows the tempo.
func TestComfortableTempo(t *testing.T) {
	s := scoretest.Piece{QPM: 97, Left: []string{"C2:1 E3+G3:1 C2:1/2 E4:1/2 r:1"}}.Score(t)
	p := detect.DefaultPlayer()
	sp := detect.Analyze(s, p, []*detect.Detector{Detector}).Spots[0]
	p.Tempo.QPM = sp.Comfortable
	if again := detect.Analyze(s, p, []*detect.Detector{Detector}).Spots[0]; math.Abs(again.Demand-1) > 1e-9 {
		t.Errorf("at the comfortable tempo demand is %g", again.Demand)
	}
	p.Tempo = detect.TempoChoice{Share: 2}
	if twice := detect.Analyze(s, p, []*detect.Detector{Detector}).Spots[0]; math.Abs(twice.Demand-2*sp.Demand) > 1e-9 {
		t.Errorf("at twice the tempo demand is %g, at the tempo %g", twice.Demand, sp.Demand)
	}
}
