package kinds

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/scoretest"
)

func overall(s *score.Score, p detect.Player) float64 { return detect.Analyze(s, p, All).Overall() }

// TestOverallByHand works the figure out on paper: two hands in quarters at
// 60, four keys each, all a whole tone or less apart, nothing in it hard.
func TestOverallByHand(t *testing.T) {
	s := scoretest.Piece{
		QPM:   60,
		Right: []string{"C5:1 D5:1 E5:1 D5:1 | C5:1 D5:1 E5:1 F5:1"},
		Left:  []string{"r:4 | C3:4"},
	}.Score(t)
	r := detect.Analyze(s, detect.DefaultPlayer(), All)
	if len(r.Spots) > 0 {
		t.Fatalf("found %s", r.Spots[0].Why)
	}
	// The right hand moves by a white key seven times: half an octave's worth
	// of work for each octave of 164.5 mm.
	step := 0.5 * 23.5 / 164.5
	first, second := (4+3*step)/4, (4+4*step+1)/4 // strokes a second
	// C D E F in the right hand 2, 3, 2 and 1 times of 8, C alone in the left.
	bits := 2*0.25*2 + 0.375*math.Log2(8.0/3) + 0.125*3
	keys := math.Exp2(bits) + 1
	a, b := math.Sqrt(first/8*keys/36), math.Sqrt(second/8*keys/36)
	want := ((a+b)/2 + b) / 2 * math.Pow(9.0/500, 0.07)
	if got := r.Overall(); math.Abs(got-want) > 1e-9 {
		t.Errorf("overall %g, want %g", got, want)
	}
}

// TestMindIsNoWork leaves out the kinds that are hard for the mind: what is asked
// of the hands stays the same, bar by bar and in all.
func TestMindIsNoWork(t *testing.T) {
	ofHands := slices.DeleteFunc(slices.Clone(All), func(d *detect.Detector) bool { return d.OfMind })
	for seed := range uint64(pieces / 4) {
		s := randomPiece(t, seed)
		all, hands := detect.Analyze(s, detect.DefaultPlayer(), All), detect.Analyze(s, detect.DefaultPlayer(), ofHands)
		if !slices.Equal(all.BarDemand, hands.BarDemand) || all.Overall() != hands.Overall() {
			t.Errorf("piece %d: bars %v, %g in all; of the hands alone %v, %g", seed, all.BarDemand, all.Overall(), hands.BarDemand, hands.Overall())
		}
	}
}

// TestOverallOfNothing has no figure to give and must not give nonsense.
func TestOverallOfNothing(t *testing.T) {
	for name, s := range map[string]*score.Score{
		"rests":   withNotes(randomPiece(t, 1), func(score.Note) []score.Note { return nil }),
		"no bars": {Tempos: []score.Tempo{{QPM: 90}}},
	} {
		r := detect.Analyze(s, detect.DefaultPlayer(), All)
		if r.Overall() != 0 || r.PastComfort() != 0 || len(r.HardestKinds(3)) != 0 {
			t.Errorf("%s: overall %g, past comfort %g", name, r.Overall(), r.PastComfort())
		}
	}
}

// TestOverallOfOtherPlayers changes the player, never the piece.
func TestOverallOfOtherPlayers(t *testing.T) {
	for seed := range uint64(pieces / 2) {
		s := randomPiece(t, seed)
		was := overall(s, detect.DefaultPlayer())
		for name, p := range harder {
			now := overall(s, p)
			if now < was-1e-9 || now <= was && name != "smaller" {
				t.Errorf("piece %d: %g for a player who is %s, %g before", seed, now, name, was)
			}
		}
		if now := overall(s, harder["twice as fast"]); now > 2*was {
			t.Errorf("piece %d: %g at twice the tempo, more than twice %g", seed, now, was)
		}
	}
}

// TestOverallOfOtherPieces changes the piece, never the player.
func TestOverallOfOtherPieces(t *testing.T) {
	for seed := range uint64(pieces / 2) {
		s := randomPiece(t, seed)
		was := overall(s, detect.DefaultPlayer())
		events := detect.NewPass(s, detect.DefaultPlayer()).Events
		if len(events[score.Right]) == 0 || len(events[score.Left]) == 0 {
			continue
		}
		if now := overall(withNotes(s, octaveHigher), detect.DefaultPlayer()); math.Abs(now-was) > 0.02*was {
			t.Errorf("piece %d: %g an octave higher, %g as it is", seed, now, was)
		}
		if now := overall(withNotes(s, fifthHigher), detect.DefaultPlayer()); math.Abs(now-was) > 0.1*was {
			t.Errorf("piece %d: %g a fifth higher, %g as it is", seed, now, was)
		}
		if now := overall(withNotes(s, doubled), detect.DefaultPlayer()); now <= was {
			t.Errorf("piece %d: %g with the right hand in octaves, %g as it is", seed, now, was)
		}
		for _, hand := range []score.Hand{score.Right, score.Left} {
			without := withNotes(s, func(n score.Note) []score.Note {
				if n.Hand == hand {
					return nil
				}
				return []score.Note{n}
			})
			if now := overall(without, detect.DefaultPlayer()); now >= was {
				t.Errorf("piece %d: %g without the %s hand, %g with it", seed, now, hand, was)
			}
		}
	}
}

// withNotes is a score with other notes in place of each note.
func withNotes(s *score.Score, change func(score.Note) []score.Note) *score.Score {
	changed := *s
	changed.Notes, changed.Arpeggios = nil, nil
	for _, n := range s.Notes {
		changed.Notes = append(changed.Notes, change(n)...)
	}
	return &changed
}

func octaveHigher(n score.Note) []score.Note {
	n.Pitch.Octave++
	return []score.Note{n}
}

func fifthHigher(n score.Note) []score.Note {
	key := n.Pitch.MIDI() + 7
	letter := strings.IndexByte("CDEFGAB", n.Pitch.Step) + 4
	n.Pitch = score.Pitch{Step: "CDEFGAB"[letter%7], Octave: n.Pitch.Octave + letter/7}
	n.Pitch.Alter = key - n.Pitch.MIDI()
	return []score.Note{n}
}

// doubled gives each single line of the right hand its upper octave.
func doubled(n score.Note) []score.Note {
	if n.Hand == score.Left {
		return []score.Note{n}
	}
	return append([]score.Note{n}, octaveHigher(n)...)
}

// TestOverallOfLength plays a piece eight times and sixteen times over: nothing
// new is asked, and the way back from its end to its beginning is one of many.
func TestOverallOfLength(t *testing.T) {
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(seed, 5))
		right, left := randomVoices(r, 72)[:1], randomVoices(r, 48)[:1]
		over := func(times int) float64 {
			return overall(scoretest.Piece{
				QPM:   80,
				Right: []string{strings.Join(slices.Repeat(right, times), " | ")},
				Left:  []string{strings.Join(slices.Repeat(left, times), " | ")},
			}.Score(t), detect.DefaultPlayer())
		}
		if eight, often := over(8), over(16); math.Abs(often-eight) > 0.02*eight {
			t.Errorf("piece %d: %g sixteen times over, %g eight times", seed, often, eight)
		}
	}
}

// TestOverallWithoutTempo writes one piece in three ways without a tempo. What
// nobody wrote must not decide: the default of playback is as good as none, and
// sixteenths are not twice the eighths that they may well sound like.
func TestOverallWithoutTempo(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 6))
	right := each(r, "1/2", 8, 72, []int{0}, 4) + " | " + each(r, "1/2", 8, 72, []int{0, 4}, 4)
	p := scoretest.Piece{Right: []string{right}, Left: []string{"C3:2 G3:2 | C3:2 E3:2"}}
	none, silent := p.Score(t), p.Score(t)
	silent.Tempos = []score.Tempo{{QPM: 120, Beat: score.Int(1), From: score.FromSound}}
	if a, b := overall(none, detect.DefaultPlayer()), overall(silent, detect.DefaultPlayer()); math.Abs(a-b) > 0.16*a {
		t.Errorf("%g without a tempo, %g with the default of playback", a, b)
	}
	quick := p.Score(t)
	quick.Tempos[0].QPM *= 2
	a, b := overall(none, detect.DefaultPlayer()), overall(quick, detect.DefaultPlayer())
	if b <= a || b > 1.2*a {
		t.Errorf("%g without a tempo, %g in notes half as long", a, b)
	}
	quick.Tempos[0].From = score.FromMetronome
	if c := overall(quick, detect.DefaultPlayer()); c <= b {
		t.Errorf("%g where the score says so, %g where it does not", c, b)
	}
}

// TestOverallByGrade puts pieces in the order in which teachers give them.
// Common practice.
func TestOverallByGrade(t *testing.T) {
	last, name := 0.0, ""
	for _, step := range []struct {
		name  string
		piece scoretest.Piece
	}{
		{"a tune on five keys, the hands in turn", scoretest.Piece{QPM: 90,
			Right: []string{"C4:1 D4:1 E4:1 F4:1 | G4:2 E4:2 | r:4 | r:4"},
			Left:  []string{"r:4 | r:4 | C3:1 D3:1 E3:1 F3:1 | G3:2 C3:2"}}},
		{"the hands together on five keys", scoretest.Piece{QPM: 90,
			Right: []string{"C4:1 D4:1 E4:1 F4:1 | G4:2 E4:2 | F4:1 E4:1 D4:1 E4:1 | C4:4"},
			Left:  []string{"C3:4 | E3:2 C3:2 | D3:2 G3:2 | C3:4"}}},
		{"a minuet in two voices", scoretest.Piece{QPM: 110, Time: "3/4", Fifths: 1,
			Right: []string{"D5:1 G4:1/2 A4:1/2 B4:1/2 C5:1/2 | D5:1 G4:1 G4:1 | E5:1 C5:1/2 D5:1/2 E5:1/2 F#5:1/2 | G5:1 G4:1 G4:1"},
			Left:  []string{"G3:2 A3:1 | B3:3 | C4:3 | B3:1 D3:1 G3:1"}}},
		{"a sonatina over broken chords", scoretest.Piece{QPM: 120,
			Right: []string{"C5:1 E5:1/2 C5:1/2 G4:1 G4:1 | C5:1/2 D5:1/2 E5:1/2 F5:1/2 G5:1/4 A5:1/4 G5:1/4 F5:1/4 E5:1/4 D5:1/4 C5:1/4 B4:1/4 | A4:1 F5:1/2 A4:1/2 C5:1 B4:1 | C5:1/4 B4:1/4 A4:1/4 G4:1/4 F4:1/4 E4:1/4 D4:1/4 C4:1/4 C5:2"},
			Left: []string{strings.Repeat("C3:1/2 G3:1/2 E3:1/2 G3:1/2 ", 2) + "| " + strings.Repeat("C3:1/2 G3:1/2 E3:1/2 G3:1/2 ", 2) +
				"| F3:1/2 C4:1/2 A3:1/2 C4:1/2 G3:1/2 D4:1/2 B3:1/2 D4:1/2 | " + strings.Repeat("C3:1/2 G3:1/2 E3:1/2 G3:1/2 ", 2)}}},
		{"a waltz with a leaping left hand", scoretest.Piece{QPM: 150, Time: "3/4", Fifths: -3,
			Right: []string{"G4:1/2 Ab4:1/2 Bb4:1/2 C5:1/2 Db5:1/2 D5:1/2 | Eb5+G5:1 Eb5:1/2 C5:1/2 Bb4:1 | Ab4:1/2 C5:1/2 Eb5:1/2 Ab5:1/2 C6:1/2 Eb6:1/2 | D6+F6:1 Bb5:1 B4:1"},
			Left:  []string{"Eb2:1 G3+Bb3+Db4:1 G3+Bb3+Db4:1 | C2:1 G3+C4+Eb4:1 G3+C4+Eb4:1 | Ab1:1 Ab3+C4+Eb4:1 Ab3+C4+Eb4:1 | Bb1:1 Ab3+Bb3+D4:1 Ab3+B3+D4:1"}}},
		{"a concert study in octaves and quick chords", scoretest.Piece{QPM: 138, Fifths: 3,
			Right: []string{"A4+A5:1/4 B4+B5:1/4 C#5+C#6:1/4 D5+D6:1/4 E5+E6:1/4 F#5+F#6:1/4 E5+E6:1/4 D5+D6:1/4 C#5+E5+A5+C#6:1/2 C6+E6+A6+C7:1/2 B5+D6+F6+B6:1/2 G#4+B4+E5+G#5:1/2 | F#4+F#5:1/4 G#4+G#5:1/4 A4+A5:1/4 B4+B5:1/4 C#5+C#6:1/4 D#5+D#6:1/4 E5+E6:1/4 F5+F6:1/4 F#5+A5+D6+F#6:1/2 D5+F5+Bb5+D6:1/2 E5+A5+C#6+E6:1/2 D5+E5+G#5+D6:1/2"},
			Left:  []string{"A1:1/4 E3:1/4 C#4:1/4 E3:1/4 A1:1/4 G3:1/4 C#4:1/4 G3:1/4 D2+D3:1/2 F3+A3+D4:1/2 G#1+G#2:1/2 E3+B3+D4:1/2 | D2:1/4 A3:1/4 F#4:1/4 A3:1/4 B1:1/4 A3:1/4 D#4:1/4 A3:1/4 Bb1+Bb2:1/2 F3+Bb3+D4:1/2 E1+E2:1/2 E3+G#3+D4:1/2"}}},
	} {
		now := overall(step.piece.Score(t), detect.DefaultPlayer())
		if now <= last {
			t.Errorf("%s: %g, not more than %s: %g", step.name, now, name, last)
		}
		last, name = now, step.name
	}
}

// TestSeconds counts repeats as they are played.
func TestSeconds(t *testing.T) {
	s := scoretest.Piece{QPM: 120, Right: []string{"C4:4 | D4:4 | E4:4"}, Left: []string{"r:4 | r:4 | r:4"}}.Score(t)
	if got := detect.Analyze(s, detect.DefaultPlayer(), All).Seconds(); got != 6 {
		t.Errorf("%g s, want 6", got)
	}
	s.Bars[1].RepeatEnd = 2
	if got := detect.Analyze(s, detect.DefaultPlayer(), All).Seconds(); got != 10 {
		t.Errorf("%g s with a repeat of two bars, want 10", got)
	}
}

// TestHardestKinds names each kind once, by its hardest spot, and no quiet one.
func TestHardestKinds(t *testing.T) {
	r := &detect.Report{Spots: []detect.Spot{
		{ID: "1", Kind: "leap", Demand: 1.2, From: score.Int(8)},
		{ID: "2", Kind: "leap", Demand: 1.3, From: score.Int(4)},
		{ID: "3", Kind: "fast-run", Demand: 1.3, From: score.Int(0)},
		{ID: "4", Kind: "ornament", Demand: 0.6},
		{ID: "5", Kind: "octave-run", Demand: 0.3, Quiet: true},
	}}
	ids := func(n int) string {
		var all []string
		for _, sp := range r.HardestKinds(n) {
			all = append(all, sp.ID)
		}
		return strings.Join(all, " ")
	}
	if got := ids(3); got != "3 2 4" {
		t.Errorf("spots %q, want 3 2 4", got)
	}
	if got := ids(1); got != "3" {
		t.Errorf("the hardest kind alone is spot %q, want 3", got)
	}
}
