package tieacrosspedal

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/detecttest"
	"hardbars/score"
	"hardbars/score/scoretest"
)

// The left hand in 4/4 under a right hand that rests. The default player's
// reach is a ninth (201 mm of span; a ninth needs 193, a tenth 216: Boyle,
// Boyle & Booker 2015).
func TestTieAcrossPedal(t *testing.T) {
	for _, c := range []struct {
		name string
		left []string
		want string // pitches held_by changes, in quarters from the start
	}{
		{"held by its length", []string{"@ped C3:4 @lift", "r:2 @change r:2"}, "C3 finger 2"},
		{"held by ties over barlines", []string{"@ped C3:4~ | @change C3:4~ | @change C3:4 @lift"}, "C3 finger 4 8"},
		{"struck at the change", []string{"@ped C3:2 @change D3:2 @lift"}, ""},
		{"no change", []string{"@ped C3:4~ | C3:4 @lift"}, ""},
		{"a lift without a press", []string{"@ped C3:4", "r:2 @lift r:2"}, ""},
		{"a lift and a press half a bar later", []string{"@ped C3:4~ | C3:4 @lift", "r:2 @lift r:2 | @ped r:4"}, ""},
		{"a lift and a press an eighth later", []string{"@ped C3:4 @lift", "r:2 @lift r:1/2 @ped r:3/2"}, "C3 finger 2"},
		{"over before the press", []string{"@ped C3:2 r:2 @lift", "r:3/2 @lift r:1/2 @ped r:2"}, ""},
		{"struck anew before the change", []string{"@ped C3:4 @lift", "r:1 C3:1 @change r:2"}, ""},
		{"struck anew after the change", []string{"@ped C3:4 @lift", "r:2 @change r:1 C3:1"}, "C3 finger 2"},
		{"the sostenuto pedal is another", []string{"@sost C3:4 @sostlift"}, ""},

		{"a ninth", []string{"@ped C3:4 @lift", "r:1 D4:1 @change r:2"}, "C3 finger 2"},
		{"a tenth", []string{"@ped C3:4 @lift", "r:1 E4:1 @change r:2"}, "C3 pedal 2"},
		{"a tenth at the change", []string{"@ped C3:4 @lift", "r:2 @change E4:2"}, "C3 pedal 2"},
		{"a tenth after the change", []string{"@ped C3:4 @lift", "r:2 @change r:1 E4:1"}, "C3 finger 2"},
		{"a tenth struck with it", []string{"@ped C3:4 @lift", "E4:1 r:1 @change r:2"}, "C3 pedal 2"},
		{"a tenth as a grace note", []string{"@ped C3:4 @lift", "r:1 gE4 D4:1 @change r:2"}, "C3 pedal 2"},
		{"the first of two changes could be held", []string{"@ped C3:4 @lift", "r:1 @change r:1 E4:1 @change r:1"}, "C3 pedal 1 3"},
		{"more keys than fingers", []string{"@ped C3:4 @lift", "r:1 D3+E3+F#3+G#3+A3:1 @change r:2"}, "C3 pedal 2"},
		{"a finger for every key", []string{"@ped C3:4 @lift", "r:1 D3+F#3+G#3+A3:1 @change r:2"}, "C3 finger 2"},

		{"notes struck together", []string{"@ped C2+C3:4 @lift", "r:2 @change r:2"}, "C2+C3 finger 2"},
		{"notes over different changes", []string{"@ped C3:4 @lift", "G3:2 @change r:1 @change r:1"}, "C3 finger 2 3"},
		{"one held over more changes", []string{"@ped C3:4 @lift", "G3:3 @change r:1", "r:2 @change r:2"}, "C3 finger 2 3; G3 finger 2"},
		{"struck one after the other", []string{"@ped C3:4 @lift", "r:1 G3:3", "r:2 @change r:2"}, "C3 finger 2; G3 finger 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, o := range Detector.Find(scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: c.left}.Score(t), detect.DefaultPlayer()) {
				d := o.Detail.(Detail)
				text := detecttest.Join(d.Pitches, "+") + " " + d.HeldBy
				for _, at := range d.Changes {
					text += " " + at.Offset.Add(score.Int(4*int64(at.Index-1))).String()
				}
				got = append(got, text)
			}
			if strings.Join(got, "; ") != c.want {
				t.Errorf("got %q, want %q", strings.Join(got, "; "), c.want)
			}
		})
	}
}

// What one hand cannot hold, a wider hand can.
func TestTieAcrossPedalSpan(t *testing.T) {
	piece := scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: []string{"@ped C3:4 @lift", "r:1 E4:1 @change r:2"}}
	who := detect.DefaultPlayer()
	for _, c := range []struct {
		span string
		want string
	}{{"octave", "pedal"}, {"ninth", "pedal"}, {"tenth", "finger"}, {"230", "finger"}} {
		mm, err := detect.ParseSpan(c.span)
		if err != nil {
			t.Fatal(err)
		}
		who.SpanMM[score.Left] = mm
		if got := Detector.Find(piece.Score(t), who)[0].Detail.(Detail).HeldBy; got != c.want {
			t.Errorf("span %s: held by %s, want %s", c.span, got, c.want)
		}
	}
}

// A bass note under chords out of its reach: when to press the middle pedal,
// and what is drawn.
func TestTieAcrossPedalLost(t *testing.T) {
	o := Detector.Find(scoretest.Piece{
		Time: "3/4", QPM: 60,
		Right: []string{"G5:3 | F5:3"},
		Left:  []string{"@ped Bb1:3~ | @change Bb1:3 @lift", "r:1 F3+Bb3+D4:1 F3+Bb3+D4:1 | r:1 F3+A3+Eb4:2"},
	}.Score(t), detect.DefaultPlayer())[0]
	d := o.Detail.(Detail)
	want := Detail{
		Pitches: detecttest.Pitches("Bb1"), Changes: []detect.Position{{Bar: "2", Index: 2, Offset: score.Int(0)}}, HeldBy: "pedal",
		MiddlePedal: &Window{After: detect.Position{Bar: "1", Index: 1, Offset: score.Int(0)}, Before: detect.Position{Bar: "1", Index: 1, Offset: score.Int(1)}},
	}
	if !reflect.DeepEqual(d, want) {
		t.Errorf("detail %+v, want %+v", d, want)
	}
	if o.Hand != score.Left || o.From != score.Int(0) || o.To != score.Int(6) || o.Timed || o.Demand != lostAlone {
		t.Errorf("got %+v", o)
	}
	if o.Label != "pedal cuts B♭1" {
		t.Errorf("label %q", o.Label)
	}
	if why := "B♭1, struck at bar 1 beat 1 and held for 6 quarters, must last over the pedal change at bar 2 beat 1, " +
		"but the left hand must leave at bar 1 beat 2: "; !strings.HasPrefix(o.Why, why) ||
		!strings.Contains(o.Why, "before bar 1 beat 2") || !strings.Contains(o.Why, "many do not") || !strings.Contains(o.Why, "by half") {
		t.Errorf("why %q", o.Why)
	}
	picture := detect.HeldNote{
		Held: []score.Pitch{{Step: 'B', Alter: -1, Octave: 1}}, Length: score.Int(6),
		Changes: []score.Rat{score.Int(3)}, Attacks: []score.Rat{score.Int(1), score.Int(2)},
		CatchBy: score.Int(1), Lost: true,
	}
	if !reflect.DeepEqual(o.Picture, picture) {
		t.Errorf("picture %+v, want %+v", o.Picture, picture)
	}
}

// The other hand helps out when it covers the keys from the moment they are
// left to the change, with what it strikes and holds itself.
func TestTieAcrossPedalOtherHand(t *testing.T) {
	left := []string{"@ped E4:4 @lift", "r:1 C3:1 @change r:2"}
	for _, c := range []struct {
		name, right string
		want        bool
	}{
		{"rests", "r:4", true},
		{"is near", "G4:2 A4:2", true},
		{"is far", "G5:2 A5:2", false},
		{"holds a note far off", "G5:4", false},
		{"is far before", "G5:1 r:3", true},
		{"is far after", "r:5/2 G5:3/2", true},
		{"strikes at the change", "r:2 G5:2", false},
	} {
		o := Detector.Find(scoretest.Piece{QPM: 60, Right: []string{c.right}, Left: left}.Score(t), detect.DefaultPlayer())
		tie := o[len(o)-1] // the right hand's own ties come first
		if d := tie.Detail.(Detail); d.HeldBy != "pedal" || d.OtherHand != c.want {
			t.Errorf("the right hand %s: got %+v", c.name, d)
		}
		if helps := strings.Contains(tie.Why, "let the right hand take over"); helps != c.want {
			t.Errorf("the right hand %s: why %q", c.name, tie.Why)
		}
	}
}

// Where the score itself has the middle pedal down in time, and over the
// change, the sound is not lost but caught.
func TestTieAcrossPedalWrittenSostenuto(t *testing.T) {
	piece := scoretest.Piece{QPM: 60, Right: []string{"C6:1"}, Left: []string{"@ped C2:4 @lift", "r:1 C4:1 @change r:2"}}
	s := piece.Score(t)
	for _, c := range []struct {
		from, to score.Rat
		want     string
	}{
		{score.R(1, 2), score.Int(4), "middle pedal holds C2"},
		{score.R(3, 2), score.Int(4), "pedal cuts C2"}, // the finger has left
		{score.R(1, 2), score.Int(2), "pedal cuts C2"}, // up again at the change
	} {
		s.Pedals = append(s.Pedals[:1:1], score.Pedal{Kind: score.Sostenuto, From: c.from, To: c.to})
		found := Detector.Find(s, detect.DefaultPlayer())
		if len(found) != 1 || found[0].Label != c.want {
			t.Errorf("middle pedal from %v to %v: got %+v, want %q", c.from, c.to, found, c.want)
		}
	}
}

// A middle pedal that works helps with what no finger holds, and with nothing else.
func TestTieAcrossPedalWithMiddlePedal(t *testing.T) {
	for left, want := range map[string][2]float64{"r:1 C5:1 @change r:2": {1.25, 1}, "r:2 @change r:2": {0.1, 0.1}} {
		s := scoretest.Piece{QPM: 60, Right: []string{"C6:4"}, Left: []string{"@ped C3:4 @lift", left}}.Score(t)
		for i, works := range []string{"no", "yes"} {
			p := detect.DefaultPlayer()
			if err := p.Set("middle-pedal", works, "flag"); err != nil {
				t.Fatal(err)
			}
			found := detecttest.Found(detect.Analyze(s, p, []*detect.Detector{Detector}), Detector.Kind)
			o := found[len(found)-1] // the left hand's
			if o.Demand != want[i] {
				t.Errorf("%s, middle pedal works: %s: demand %g, want %g", left, works, o.Demand, want[i])
			}
			if doubts := strings.Contains(o.Why, "many do not"); doubts != (works == "no" && want[i] > 1) {
				t.Errorf("%s, middle pedal works: %s: %s", left, works, o.Why)
			}
		}
	}
}

// Notes under the fingers ask less than 1, lost ones 1 to 1.5, and nothing
// that the tempo changes.
func TestTieAcrossPedalDemand(t *testing.T) {
	for _, c := range []struct {
		name, left string
		want       float64
	}{
		{"alone", "r:2 @change r:2", 0.1},
		{"an octave", "r:1 C4:1 @change r:2", 164.5 / 196.174}, // reach: 164.5 + (201 − 170) × 23.5 / 23
		{"lost", "r:1 C5:1 @change r:2", 1.25},
		{"lost twice", "r:1 C5:1 @change r:1 @change r:1", 1.3},
		{"lost often", strings.Repeat("C5:1/2 @change ", 7) + "r:1/2", 1.5},
	} {
		piece := scoretest.Piece{QPM: 60, Right: []string{"C6:4"}, Left: []string{"@ped C3:4 @lift", c.left}}
		for _, piece.QPM = range []float64{60, 180} {
			o := Detector.Find(piece.Score(t), detect.DefaultPlayer())
			if got := o[len(o)-1]; math.Abs(got.Demand-c.want) > 1e-4 {
				t.Errorf("%s at %v: demand %v, want %v", c.name, piece.QPM, got.Demand, c.want)
			}
		}
	}
}

// The same notes with the same changes, in another key, are the same problem.
func TestTieAcrossPedalShape(t *testing.T) {
	shape := func(left ...string) string {
		return Detector.Find(scoretest.Piece{QPM: 60, Right: []string{"r:4"}, Left: left}.Score(t), detect.DefaultPlayer())[0].Shape
	}
	base := shape("@ped C2+C3:4 @lift", "r:1 E4:1 @change r:2")
	if other := shape("@ped Eb2+Eb3:4 @lift", "r:1 G4:1 @change r:2"); other != base {
		t.Errorf("transposed: %q and %q", base, other)
	}
	if other := shape("@ped C2+C3:4 @lift", "r:2 @change r:2"); other == base {
		t.Errorf("under a finger: both %q", base)
	}
	if other := shape("@ped C2+C3:4 @lift", "r:1 E4:2 @change r:1"); other == base {
		t.Errorf("another change: both %q", base)
	}
}

func TestPlaceName(t *testing.T) {
	s := &score.Score{Bars: []score.Bar{
		{Number: "0", Index: 1, Length: score.Int(1), Implicit: true, Time: score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}},
		{Number: "1", Index: 2, Start: score.Int(1), Length: score.Int(4), Time: score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}},
		{Number: "2", Index: 3, Start: score.Int(5), Length: score.Int(3), Time: score.Time{Beats: "6", BeatType: 8, Length: score.Int(3)}},
	}}
	for at, want := range map[score.Rat]string{
		score.Int(0):   "bar 0 beat 4",
		score.Int(1):   "bar 1 beat 1",
		score.R(5, 2):  "bar 1 beat 2½",
		score.Int(5):   "bar 2 beat 1",
		score.Int(6):   "bar 2 beat 1⅔",
		score.R(13, 2): "bar 2 beat 2",
	} {
		if got := detect.PositionName(s, at); got != want {
			t.Errorf("%v: got %q, want %q", at, got, want)
		}
	}
}
