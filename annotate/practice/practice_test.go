package practice

import (
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest"
	"hardbars/score/scoretest/library"
)

// players are a usual one, and one for whom much more is hard.
var players = func() []detect.Player {
	small := detect.DefaultPlayer()
	small.SpanMM, small.Level, small.MiddlePedal = [2]float64{165, 160}, detect.Elementary, true
	return []detect.Player{detect.DefaultPlayer(), small}
}()

// TestEveryPlaceOfTestdata holds the advice for every hot spot of the project's
// own scores to what any advice must be, and sees to it that every kind comes.
func TestEveryPlaceOfTestdata(t *testing.T) {
	seen := map[detect.Kind]bool{}
	for _, path := range scores(t) {
		for _, who := range players {
			r := detect.Analyze(read(t, path), who, kinds.All)
			for i := range r.Spots {
				sp := &r.Spots[i]
				seen[sp.Kind] = true
				for _, fault := range faults(r, sp) {
					t.Errorf("%s, level %s, spot %s (%s, bars %s): %s", filepath.Base(path), who.Level, sp.ID, sp.Kind, r.Bars(sp), fault)
				}
			}
		}
	}
	for _, d := range kinds.All {
		if !seen[d.Kind] {
			t.Errorf("no place of the kind %s in testdata", d.Kind)
		}
	}
}

func scores(t *testing.T) []string {
	t.Helper()
	return library.Own(t, ".musicxml")
}

func read(t *testing.T, path string) *score.Score {
	t.Helper()
	f, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var (
	barNamed  = regexp.MustCompile(`\bbar ([^\s,.;:]+)`)
	longFloat = regexp.MustCompile(`\d\.\d{3,}|%!|NaN|Inf`)
	untidy    = regexp.MustCompile(`  |\.\.|,\.| ,| \.|: \.|#\d`)
)

// faults are what is wrong with the advice for a spot.
func faults(r *detect.Report, sp *detect.Spot) []string {
	a := For(r, sp)
	var found []string
	fault := func(wrong bool, what string) {
		if wrong {
			found = append(found, what)
		}
	}
	fault(a.Bars != r.Bars(sp), "names the bars "+a.Bars)
	fault(!strings.HasPrefix(a.Hands, sp.Hand.Name()), "names "+a.Hands)
	fault(len(a.Steps) < 2, "has fewer than two steps")
	fault(a.Alone < 1 || a.Alone >= len(a.Steps), "does not say which steps are for a hand alone")
	fault(slices.ContainsFunc(a.Steps[:a.Alone], func(step string) bool { return strings.HasPrefix(step, "Add the ") }), "brings in the other hand too early")
	fault(!strings.Contains(a.Test, "three times running") || !strings.Contains(a.Test, "no stop"), "has the test "+a.Test)
	fault((a.Start > 0) != (sp.Comfortable > 0) || (a.Target > 0) != (sp.Comfortable > 0), "gives a tempo where none matters, or none where it does")
	fault(a.Start > a.Target, "starts over the target")
	fault(sp.Comfortable > 0 && sp.Comfortable < sp.Target && a.Start > sp.Comfortable+1e-6, "starts over the comfortable tempo")
	bars := map[string]bool{}
	for _, b := range r.Score.Bars[sp.FirstBar : sp.LastBar+1] {
		bars[b.Number] = true
	}
	for _, text := range append(slices.Clone(a.Steps), a.Test) {
		// What is to be kept apart in memory lies in two places.
		for _, named := range barNamed.FindAllStringSubmatch(text, -1) {
			fault(sp.Kind != "memory" && !bars[named[1]] && named[1] != "before" && named[1] != "after", "names a bar outside: "+text)
		}
		first, rest, begins := strings.Cut(text, ". ")
		fault(begins && strings.HasPrefix(first, "Begin in bar ") && strings.Contains(rest, "From"+strings.TrimPrefix(first, "Begin in")+" beat"), "names its bar twice: "+text)
		fault(longFloat.MatchString(text), "has a figure that nobody reads: "+text)
		fault(untidy.MatchString(text) || !strings.HasSuffix(text, "."), "is no tidy sentence: "+text)
	}
	return found
}

// A kind that the package does not know still gets advice.
func TestUnknownKind(t *testing.T) {
	r := detect.Analyze(scoretest.Piece{
		QPM: 120, Right: []string{"C4:1 C6:3"}, Left: []string{"C3:1 D3:3"},
	}.Score(t), detect.DefaultPlayer(), kinds.All)

	sp := r.Spots[0]
	sp.Kind, sp.Occurrences[sp.Hardest].Detail = "new-kind", struct{ Any int }{1}
	for _, hand := range []score.Hand{score.Left, score.Both} {
		sp.Hand = hand
		a := For(r, &sp)
		if len(a.Steps) < 2 || !strings.Contains(strings.ToLower(a.Steps[0]), handWord[hand]) {
			t.Errorf("%s: %q", hand, a.Steps)
		}
	}
}

var handWord = map[score.Hand]string{score.Left: "the left hand alone", score.Both: "each hand alone"}

// TestFirstKinds looks for what a pianist must be told at places whose answer
// is plain from the notes: composites and meeting points by the arithmetic of
// two equal divisions, ways and notes read off the page.
func TestFirstKinds(t *testing.T) {
	for _, c := range []struct {
		name  string
		kind  detect.Kind
		piece scoretest.Piece
		want  []string // in the steps or the test
	}{
		{
			"three over two", "cross-rhythm",
			scoretest.Piece{Time: "2/4", QPM: 100, Right: []string{"C5:2/3 D5:2/3 E5:2/3"}, Left: []string{"C3:1 G3:1"}},
			[]string{
				"Count 1 to 6 evenly and say who strikes, through a half note from bar 1 beat 1: together 1, right 3, left 4, right 5. They meet at its start and nowhere else.",
				"The left hand first, since it keeps the beat: play it and tap the right; then play the right and tap the left",
			},
		},
		{
			"four over three", "cross-rhythm",
			scoretest.Piece{Time: "3/4", QPM: 100, Right: []string{"C5:3/4 D5:3/4 E5:3/4 F5:3/4"}, Left: []string{"C3:1 E3:1 G3:1"}},
			[]string{"Count 1 to 12 evenly", "together 1, right 4, left 5, right 7, left 9, right 10.", "both hands even, together"},
		},
		{
			"a dotted figure over three", "cross-rhythm",
			scoretest.Piece{Time: "2/4", QPM: 60, Right: []string{"C5:3/4 D5:1/4 C5:1"}, Left: []string{"C3:1/3 E3:1/3 G3:1/3 C3:1"}},
			[]string{"together 1, left 5, left 9, right 10.", "both rhythms exact, together"},
		},
		{
			"a run of a dozen notes", "fast-run",
			scoretest.Piece{Time: "4/4", QPM: 120, Right: []string{"C5:1/4 D5:1/4 E5:1/4 F5:1/4 G5:1/4 A5:1/4 B5:1/4 C6:1/4 D6:1/4 E6:1/4 F6:1/4 G6:1/4 r:1"}},
			[]string{"groups of four and one over at quarter = 120, then groups twice as long."},
		},
		{
			"a run no longer than two groups", "fast-run",
			scoretest.Piece{Time: "4/4", QPM: 120, Right: []string{"C5:1/4 D5:1/4 E5:1/4 F5:1/4 G5:1/4 A5:1/4 B5:1/4 C6:1/4 r:2"}},
			[]string{"groups of four and one over at quarter = 120, then the whole run."},
		},
		{
			"the right hand keeps the beat", "cross-rhythm",
			scoretest.Piece{Time: "2/4", QPM: 100, Right: []string{"C5:1 D5:1"}, Left: []string{"C3:2/3 E3:2/3 G3:2/3"}},
			[]string{"together 1, left 3, right 4, left 5.", "The right hand first, since it keeps the beat"},
		},
		{
			"down and up with the right hand busy", "leap",
			scoretest.Piece{QPM: 80, Right: []string{"E5:1/2 F5:1/2 G5:1 E5:2"}, Left: []string{"C4:1 C2:1 C4:1 r:1"}},
			[]string{
				"Down, with stops: on C4 look at C2, then one movement of two octaves.",
				"Up, with stops: on C2 look at C4,",
				"Down and up without the stops",
				"Add the right hand, which strikes twice on the way",
				"Touch and wait at C2 and at C4, at quarter =",
			},
		},
		{
			"up to a chord in the right hand", "leap",
			scoretest.Piece{QPM: 120, Right: []string{"C4:1 C6+E6+G6:3"}},
			[]string{"Up, with stops: on C4 look at C6", "the shape of the chord C6–E6–G6 ready in the air.", "The way back likewise"},
		},
		{
			"five thirds up and down", "parallel-thirds",
			scoretest.Piece{QPM: 120, Right: []string{"E5+G5:1/2 F5+A5:1/2 G5+B5:1/2 F5+A5:1/2 D5+F5:2"}},
			[]string{
				"Top line alone, G5 to F5 by way of B5, legato", "the lower line, E5 to D5", "top loud, lower soft",
				"Apart: each pair broken, lower note first, then upper first; then struck together.", "then all five.",
			},
		},
		{
			"held by a finger", "tie-across-pedal",
			scoretest.Piece{QPM: 60, Left: []string{"@ped C3:4 @lift", "r:1 E3:1 @change G3:2"}},
			[]string{"Without pedal: strike C3, keep it down with the finger", "change at bar 1 beat 3 and hear C3 ring through it", "C3 sounding to the end"},
		},
		{
			"lost at the change", "tie-across-pedal",
			scoretest.Piece{QPM: 60, Left: []string{"@ped C2:4 @lift", "r:1 C4:1 @change E4:2"}},
			[]string{
				"If your piano has a middle pedal that works (many do not): strike C2 with the damper pedal up, catch it with the left foot before bar 1 beat 2",
				"Without it: at the change let the pedal up by half", "C2 heard after every pedal change",
			},
		},
		{
			"spread over the left hand's notes", "spread-octave",
			scoretest.Piece{QPM: 60, Right: []string{"E4+G4+E5:4^"}, Left: []string{"C3+G3:4"}},
			[]string{
				"Written out slowly and evenly: E4, G4, E5;",
				"On the beat: E4 together with C3–G3 in the left hand, the rest after.",
				"Before the beat: begin early, so that E5 comes together with C3–G3 in the left hand.",
			},
		},
		{
			"spread downwards, the other hand silent", "spread-octave",
			scoretest.Piece{QPM: 60, Left: []string{"C2+C3:4v"}},
			[]string{"C3, C2;", "On the beat: C3 on it, the rest after."},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := detect.Analyze(c.piece.Score(t), detect.DefaultPlayer(), kinds.All)
			i := slices.IndexFunc(r.Spots, func(sp detect.Spot) bool { return sp.Kind == c.kind })
			if i < 0 {
				t.Fatalf("no %s found", c.kind)
			}
			a := For(r, &r.Spots[i])
			said := strings.Join(append(slices.Clone(a.Steps), a.Test), "\n")
			for _, want := range c.want {
				if !strings.Contains(said, want) {
					t.Errorf("%q is not said:\n%s", want, said)
				}
			}
		})
	}
}

// A player whose middle pedal works is not told to see whether it does.
func TestMiddlePedalOfThePlayer(t *testing.T) {
	who := detect.DefaultPlayer()
	who.MiddlePedal = true
	r := detect.Analyze(scoretest.Piece{QPM: 60, Left: []string{"@ped C2:4 @lift", "r:1 C4:1 @change E4:2"}}.Score(t), who, kinds.All)
	i := slices.IndexFunc(r.Spots, func(sp detect.Spot) bool { return sp.Kind == "tie-across-pedal" })
	said := strings.Join(For(r, &r.Spots[i]).Steps, "\n")
	if strings.Contains(said, "many do not") || !strings.Contains(said, "With the middle pedal: strike C2") {
		t.Errorf("got\n%s", said)
	}
}

// The start is the comfortable tempo in whole beats, rounded down.
func TestTempos(t *testing.T) {
	piece := scoretest.Piece{Time: "6/8", QPM: 150, Right: []string{"C5:3/4 D5:3/4 E5:3/4 F5:3/4"}, Left: []string{"C3:1 E3:1 G3:1"}}
	r := detect.Analyze(piece.Score(t), detect.DefaultPlayer(), kinds.All)
	i := slices.IndexFunc(r.Spots, func(sp detect.Spot) bool { return sp.Kind == "cross-rhythm" })
	sp := &r.Spots[i]
	sp.Comfortable = 100 // 66.67 dotted quarters
	a := For(r, sp)
	if a.Start != 99 || a.Target != 150 || a.StartWords != "dotted quarter = 66" || a.TargetWords != "dotted quarter = 100" {
		t.Errorf("got %+v", a)
	}
	last := a.Steps[len(a.Steps)-1]
	if !strings.Contains(last, "From dotted quarter = 66 to 100 by 6") {
		t.Errorf("got %q", last)
	}
}
