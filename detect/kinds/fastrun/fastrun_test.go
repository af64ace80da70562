package fastrun

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// runsIn describes what was found: "scales 8 C4 to C5 at 0".
func runsIn(found []detect.Occurrence) string {
	var all []string
	for _, o := range found {
		d := o.Detail.(Detail)
		all = append(all, fmt.Sprintf("%s %d %s to %s at %s", d.Figure, d.Count, d.From, d.To, o.From))
	}
	return strings.Join(all, "; ")
}

func TestFastRun(t *testing.T) {
	for _, c := range []struct{ name, right, want string }{
		{"a scale", detecttest.Sixteenths("C4 D4 E4 F4 G4 A4 B4 C5") + " D5:2", "scales 8 C4 to C5 at 0"},
		{"a beat", detecttest.Sixteenths("C4 D4 E4 F4") + " G4:1 r:2", "scales 4 C4 to F4 at 0"},
		{"less than a beat", detecttest.Sixteenths("C4 D4 E4") + " r:1/4 G4:1 r:2", ""},
		{"three triplets", "C4:1/3 D4:1/3 E4:1/3 F4:1 r:2", ""},
		{"six triplets", "C4:1/3 D4:1/3 E4:1/3 F4:1/3 G4:1/3 A4:1/3 r:2", "scales 6 C4 to A4 at 0"},
		{"slow eighths", "C4:1/2 D4:1/2 E4:1/2 F4:1/2 r:2", ""},
		{"quarters", "C4:1 D4:1 E4:1 F4:1", ""},
		{"dotted", "C4:3/8 D4:1/8 E4:3/8 F4:1/8 G4:3/8 A4:1/8 B4:3/8 C5:1/8 r:2", ""},
		{"an eighth and two sixteenths", "C4:1/2 D4:1/4 E4:1/4 F4:1/2 G4:1/4 A4:1/4 r:2", ""},
		{"sixteenths into sextuplets", detecttest.Sixteenths("C4 D4 E4 F4") + " G4:1/6 A4:1/6 B4:1/6 C5:1/6 D5:1/6 E5:1/6 r:2", "scales 10 C4 to E5 at 0"},
		{"slow eighths into sixteenths", "C4:1/2 D4:1/2 E4:1/2 F4:1/2 " + detecttest.Sixteenths("G4 A4 B4 C5") + " r:1",
			"scales 4 G4 to C5 at 2"},
		{"one key again and again", detecttest.Sixteenths("C4 C4 C4 C4 C4 C4 C4 C4") + " r:2", ""},
		{"cut by a repeat", detecttest.Sixteenths("C4 D4 E4 F4 F4 G4 A4 B4") + " r:2", "scales 8 C4 to B4 at 0"},
		{"cut by two repeats", detecttest.Sixteenths("C4 D4 E4 F4 F4 F4 G4 A4") + " r:2", "scales 4 C4 to F4 at 0"},
		{"a breath", detecttest.Sixteenths("C4 D4 E4 F4") + " r:1/2 " + detecttest.Sixteenths("G4 A4 B4 C5") + " r:3/2", "scales 8 C4 to C5 at 0"},
		{"a rest of a quarter note", detecttest.Sixteenths("C4 D4 E4 F4") + " r:1 " + detecttest.Sixteenths("G4 A4 B4 C5") + " r:1",
			"scales 4 C4 to F4 at 0; scales 4 G4 to C5 at 2"},
		{"sixteenth rests", "C4:1/4 r:1/4 D4:1/4 r:1/4 E4:1/4 r:1/4 F4:1/4 r:1/4 G4:1/4 r:1/4 r:3/2", ""},
		{"an accompaniment", detecttest.Sixteenths("C4 G4 E4 G4 C4 G4 E4 G4") + " r:2", "broken chords 8 C4 to G4 at 0"},
		{"a turning figure", detecttest.Sixteenths("D5 C#5 D5 E5 D5 C#5 D5 E5") + " r:2", "turning steps 8 D5 to E5 at 0"},
		{"steps and leaps", detecttest.Sixteenths("C4 D4 F4 G4 B4 A4 C5 D5") + " r:2", "mixed 8 C4 to D5 at 0"},
		{"half of it double notes", detecttest.Sixteenths("C4+E4 D4 E4+G4 F4") + " r:3", "turning steps 4 E4 to F4 at 0"},
		{"most of it double notes", detecttest.Sixteenths("C4+E4 D4+F4 E4+G4 F4") + " r:3", ""},
		{"broken octaves", detecttest.Sixteenths("C4 C5 D4 D5 E4 E5 F4 F5") + " r:2", ""},
		{"two keys in turn", detecttest.Sixteenths("C4 E4 C4 E4 C4 E4 C4 E4") + " r:2", ""},
		{"two keys in turn, not often", detecttest.Sixteenths("E5 D#5 E5 D#5 E5 B4 D5 C5") + " r:2", "turning steps 8 E5 to C5 at 0"},
		{"held by a tie into it", "C4:1~ C4:1/4 D4:1/4 E4:1/4 F4:1/4 G4:1/4 r:7/4", "scales 4 D4 to G4 at 5/4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := runsIn(Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}}.Score(t), detect.DefaultPlayer())); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// Five fingers in place weigh 0.8, and each move between the fourth and the fifth
// a quarter of a note's share more; eight notes of a scale need a second position,
// one change in eight notes, and so does each passage of the thumb. Sixteenths at 100 are 6.67 a second,
// and a returning player plays 6.5 of a scale in comfort.
func TestFastRunDemand(t *testing.T) {
	for _, c := range []struct {
		name, right string
		positions   int
		want        float64
	}{
		{"five fingers", detecttest.Sixteenths("C4 D4 E4 F4 G4 F4 E4 D4"), 1, 20 / 3.0 * (0.8 + 2*0.25/8) / 6.5},
		{"a scale", detecttest.Sixteenths("C4 D4 E4 F4 G4 A4 B4 C5"), 2, 20 / 3.0 * (0.8 + 1.0/8 + 0.25/8) / 6.5},
		{"up and down an octave chord", detecttest.Sixteenths("C4 E4 G4 C5 G4 E4 C4 E4"), 1, 20 / 3.0 * 0.8 / 6.5},
		{"an arpeggio of three octaves", detecttest.Sixteenths("C3 E3 G3 C4 E4 G4 C5 E5"), 2, 20 / 3.0 * 0.925 / 6.5},
		{"tenths in turn", detecttest.Sixteenths("C4 E5 D4 F5 E4 G5 F4 A5"), 8, 20 / 3.0 * 1.675 / 6.5},
		{"hardest at its end", "C4:1/3 D4:1/3 E4:1/3 F4:1/3 G4:1/3 F4:1/3 " + detecttest.Sixteenths("E4 D4 E4 F4 G4 F4 E4 D4"), 1, 20 / 3.0 * (0.8 + 2*0.25/8) / 6.5},
	} {
		o := Detector.Find(scoretest.Piece{QPM: 100, Right: []string{c.right + " r:2"}}.Score(t), detect.DefaultPlayer())[0]
		if d := o.Detail.(Detail); d.Positions != c.positions || math.Abs(o.Demand-c.want) > 1e-9 || !o.Timed {
			t.Errorf("%s: %d positions, demand %g, want %d and %g", c.name, d.Positions, o.Demand, c.positions, c.want)
		}
	}
}

func TestFastRunSaysHow(t *testing.T) {
	o := Detector.Find(scoretest.Piece{QPM: 120, Left: []string{
		"@mf " + detecttest.Sixteenths("C3 D3 E3 F#3 G3 F#3 E3 D3 C3 D3 E3 F#3 G3 A3 B3 C#4") + " | D4:4"}}.Score(t), detect.DefaultPlayer())[0]
	d := o.Detail.(Detail)
	pitches := detecttest.Pitches("C3 C#4")
	want := Detail{
		Figure: "scales", Count: 16, PerSecond: 8, FastestAt: detect.Position{Bar: "1", Index: 1, Offset: score.Int(2)},
		From: pitches[0], To: pitches[1], Lowest: pitches[0], Highest: pitches[1], Turns: 2, Positions: 2, Passages: 1, ThumbBlack: 1, Weak: 3, BlackShare: 0.25,
		Seconds: 2, WithoutRest: 2, Dynamic: "mf",
	}
	if d != want {
		t.Errorf("got  %+v\nwant %+v", d, want)
	}
	if o.Hand != score.Left || o.To != score.Int(4) || len(o.Notes) != 16 {
		t.Errorf("got %+v", o)
	}
	if want := "16 notes in scales in the left hand, at 8.0 a second; with 2 positions of the hand in 8 notes that counts as 8.2, " +
		"where 6.5 is comfortable. The thumb passes once and falls on a black key once. In all 2 turns, 25 % black keys, and 2.0 s without a rest."; o.Why != want {
		t.Errorf("why %q", o.Why)
	}
}

// How a scale is practised names its crossings, by the fingers of this hand.
func TestCrossingsArePractised(t *testing.T) {
	s := scoretest.Piece{QPM: 100, Right: []string{detecttest.Sixteenths("C4 D4 E4 F4 G4 A4 B4 C5") + " D5:2"}}.Score(t)
	r := detect.Analyze(s, detect.DefaultPlayer(), []*detect.Detector{Detector})
	l, ok := detect.NewPractice(r, &r.Spots[0]).Lesson()
	if want := "thumb under after 3, at F4"; !ok || !strings.Contains(l.Steps[1], want) {
		t.Errorf("%q does not say %q", l.Steps, want)
	}
}

// A burst is a run though it is over within less than a beat; written values do
// not decide.
func TestBurst(t *testing.T) {
	nine := strings.Repeat("C4:1/10 D4:1/10 E4:1/10 ", 2) + "F4:1/10 G4:1/10 A4:1/10 r:1/10 B4:3"
	if found := Detector.Find(scoretest.Piece{QPM: 120, Right: []string{nine}}.Score(t), detect.DefaultPlayer()); len(found) != 1 || found[0].Demand < 1.5 {
		t.Errorf("nine notes in less than half a second: %d runs", len(found))
	}
	for _, c := range []struct {
		qpm  float64
		want int
	}{{150, 1}, {160, 1}, {149, 0}} {
		s := scoretest.Piece{QPM: c.qpm, Right: []string{"C4:1 D4:1 E4:1 F4:1"}}.Score(t)
		if found := Detector.Find(s, detect.DefaultPlayer()); len(found) != c.want {
			t.Errorf("quarters at %g: %d runs, want %d", c.qpm, len(found), c.want)
		}
	}
}

// Perpetual motion with short breaths is parted every four bars, without any
// it is one run.
func TestFastRunOfManyBars(t *testing.T) {
	breath := strings.Repeat("r:1/2 "+detecttest.Sixteenths("C4 E4 G4 C4 E4 G4")+" r:1/2 "+detecttest.Sixteenths("C4 E4 G4 C4 E4 G4")+" | ", 8)
	none := strings.Repeat(detecttest.Sixteenths("C4 E4 G4 C4 E4 G4 C5 G4 C4 E4 G4 C4 E4 G4 C5 G4")+" | ", 8)
	for music, want := range map[string]int{breath: 2, none: 1} {
		if found := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{music + "C4:4"}}.Score(t), detect.DefaultPlayer()); len(found) != want {
			t.Errorf("%d runs, want %d", len(found), want)
		}
	}
}

// The keyboard is the same from the right as from the left, seen from any D:
// what one hand plays, the other plays mirrored with the same figures. It is
// the same an octave higher, too.
func TestFastRunMirrored(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 7))
	for range 200 {
		var right, left, higher []string
		key := 60
		for range 16 {
			key = min(max(key+r.IntN(15)-7, 45), 79)
			length := []string{"1/4", "1/4", "1/4", "1/3", "1/2"}[r.IntN(5)]
			right = append(right, sharps(key)+":"+length)
			left = append(left, sharps(2*62-key)+":"+length)
			higher = append(higher, sharps(key+12)+":"+length)
		}
		figures := func(p scoretest.Piece) []string {
			var all []string
			for _, o := range Detector.Find(p.Score(t), detect.DefaultPlayer()) {
				d := o.Detail.(Detail)
				all = append(all, fmt.Sprint(o.From, o.To, d.Figure, d.Count, d.Turns, d.Positions, d.BlackShare, o.Demand))
			}
			return all
		}
		want := figures(scoretest.Piece{QPM: 90, Right: []string{strings.Join(right, " ")}})
		if got := figures(scoretest.Piece{QPM: 90, Left: []string{strings.Join(left, " ")}}); !slices.Equal(got, want) {
			t.Errorf("%v mirrored: %v, want %v", right, got, want)
		}
		if got := figures(scoretest.Piece{QPM: 90, Right: []string{strings.Join(higher, " ")}}); !slices.Equal(got, want) {
			t.Errorf("%v an octave higher: %v, want %v", right, got, want)
		}
	}
}

// sharps spells a key without flats.
func sharps(key int) string {
	return fmt.Sprint([]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}[key%12], key/12-1)
}
