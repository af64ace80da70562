package drill

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hardbars/annotate/practice"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
	"hardbars/score/scoretest/library"
)

// What is shown of a piece, what is written anew from it, and what was analysed
// agree: on beams and accidentals where they go by rule, on hairpins, on fingers
// and on the ladder of tempos; for every score at hand.
func TestExcerptDrillAndAnalysisAgree(t *testing.T) {
	beams, accidentals := 0, 0
	for _, path := range append(library.Own(t), library.Shared(t)...) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			shown, analysed := readBoth(t, path, nil)
			checkHairpins(t, shown, analysed)
			checkLadders(t, analysed)
			shown, analysed = readBoth(t, path, byRule)
			again := anew(analysed)
			checkFingers(t, shown, again, analysed)
			beams += checkBeams(t, shown, again)
			accidentals += checkAccidentals(t, shown, again)
		})
	}
	t.Logf("compared %d beams and %d accidentals", beams, accidentals)
	if beams < 500 || accidentals < 500 {
		t.Errorf("only %d beams and %d accidentals were compared", beams, accidentals)
	}
}

// readBoth reads a score as it is shown and as it is analysed, after a change.
func readBoth(t *testing.T, path string, change func(*notation.Score)) (*notation.Score, *score.Score) {
	t.Helper()
	f, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	n, err := f.Notation(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(n)
		var b bytes.Buffer
		if err := musicxml.Encode(&b, n); err != nil {
			t.Fatal(err)
		}
		if f, err = musicxml.Read(&b, path); err != nil {
			t.Fatal(err)
		}
		if n, err = f.Notation(musicxml.Options{}); err != nil {
			t.Fatal(err)
		}
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return n, s
}

// byRule takes the beams and accidentals away, so that the reader sets them.
func byRule(n *notation.Score) {
	for i := range n.Chords {
		n.Chords[i].Beams = nil
		for k := range n.Chords[i].Notes {
			n.Chords[i].Notes[k].Accidental = ""
		}
	}
}

// renewed is the bars of a piece written anew, by its full bars.
type renewed struct {
	*book
	of map[int]int // bar of the book by bar of the piece, where each holds the other
}

// anew writes a whole piece anew, as drills are.
func anew(s *score.Score) renewed {
	p := newPiece(&detect.Report{Score: s})
	g := &passage{piece: p, last: len(s.Bars) - 1}
	w := renewed{newBook(p), map[int]int{}}
	w.newExercise()
	frames := g.frames(0, g.last)
	for i, b := range g.bars(0, g.last, everything) {
		w.addBar(b)
		f := frames[i]
		if whole := &s.Bars[f.parts[0].bar]; len(f.parts) == 1 && whole.Length == f.time.Length && whole.Time == f.time {
			w.of[f.parts[0].bar] = i
		}
	}
	w.finish()
	return w
}

// sung is one chord of a voice as both are compared by it.
func sung(s *notation.Score, c *notation.Chord) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s+%s %v", c.At.Sub(s.Bars[c.Bar].Start), c.Length, c.Value)
	for _, n := range c.Notes {
		fmt.Fprintf(&b, " %s", n.Written)
	}
	return b.String()
}

// voicesOf lists the voices of plain values in a bar, each by what it sings.
func voicesOf(s *notation.Score) map[int]map[string][]int {
	all := map[int]map[string][]int{}
	for _, line := range s.VoicesByBar() {
		var names []string
		var chords []int
		plain := true
		for _, i := range line {
			c := &s.Chords[i]
			plain = plain && c.Grace == 0 && c.Ratio == (notation.Ratio{}) && c.Staff == s.Chords[line[0]].Staff
			if !c.Rest {
				names, chords = append(names, sung(s, c)), append(chords, i)
			}
		}
		bar := s.Chords[line[0]].Bar
		if all[bar] == nil {
			all[bar] = map[string][]int{}
		}
		if plain && len(chords) > 0 {
			all[bar][fmt.Sprint(s.Chords[line[0]].Staff, names)] = chords
		}
	}
	return all
}

func checkBeams(t *testing.T, shown *notation.Score, again renewed) (compared int) {
	ours := voicesOf(again.Score)
	for bar, voices := range voicesOf(shown) {
		at, full := again.of[bar]
		if !full {
			continue
		}
		for name, chords := range voices {
			for k, i := range ours[at][name] {
				a, b := &shown.Chords[chords[k]], &again.Chords[i]
				if a.Hidden || len(a.Beams)+len(b.Beams) == 0 {
					continue
				}
				compared++
				if !slices.Equal(a.Beams, b.Beams) {
					t.Errorf("bar %s, %s: beams %v shown, %v written anew", shown.Bars[bar].Number, sung(shown, a), a.Beams, b.Beams)
				}
			}
		}
	}
	return compared
}

// barNotes lists the notes of each bar that both write alike: as place, staff and
// pitch; with their accidentals.
func barNotes(s *notation.Score) map[int]map[string]string {
	all := map[int]map[string]string{}
	for i := range s.Chords {
		c := &s.Chords[i]
		if all[c.Bar] == nil {
			all[c.Bar] = map[string]string{}
		}
		for _, n := range c.Notes {
			key := fmt.Sprintf("%s^%d %s on staff %d", c.At.Sub(s.Bars[c.Bar].Start), c.Grace, n.Written, n.Staff)
			all[c.Bar][key] = cmp.Or(n.Accidental, all[c.Bar][key])
		}
	}
	return all
}

func checkAccidentals(t *testing.T, shown *notation.Score, again renewed) (compared int) {
	theirs := barNotes(shown)
	ours := barNotes(again.Score)
	for bar, notes := range theirs {
		at, full := again.of[bar]
		if !full || !sameNotes(notes, ours[at]) {
			continue // another clef's octave line, or hidden notes
		}
		for key, accidental := range notes {
			if accidental != "" {
				compared++
			}
			if ours[at][key] != accidental {
				t.Errorf("bar %s, %s: %q shown, %q written anew", shown.Bars[bar].Number, key, accidental, ours[at][key])
			}
		}
	}
	return compared
}

func sameNotes(a, b map[string]string) bool {
	for key := range a {
		if _, ok := b[key]; !ok {
			return false
		}
	}
	return len(a) == len(b)
}

func checkFingers(t *testing.T, shown *notation.Score, again renewed, analysed *score.Score) {
	fingers := map[int]string{}
	for i := range shown.Chords {
		for _, n := range shown.Chords[i].Notes {
			fingers[n.ID] = notation.FingeringText(n.Fingering)
		}
	}
	var heard, anew []string
	for i := range analysed.Notes {
		n := &analysed.Notes[i]
		first := ""
		for _, h := range n.Heads {
			first = cmp.Or(first, fingers[h.ID])
		}
		if n.Fingering != first && !n.Heads[0].Hidden {
			t.Errorf("bar %s, %s: finger %q shown, %q analysed", analysed.Bars[n.Bar].Number, n.Pitch, first, n.Fingering)
		}
		if n.Fingering != "" && n.Length.Sign() > 0 && !n.Heads[0].Hidden {
			heard = append(heard, n.Fingering)
		}
	}
	for i := range again.Chords {
		if c := &again.Chords[i]; c.Grace == 0 {
			for _, n := range c.Notes {
				if len(n.Fingering) > 0 {
					anew = append(anew, notation.FingeringText(n.Fingering))
				}
			}
		}
	}
	slices.Sort(heard)
	slices.Sort(anew)
	if !slices.Equal(heard, anew) {
		t.Errorf("fingers %v analysed, %v written anew", heard, anew)
	}
}

func checkHairpins(t *testing.T, shown *notation.Score, analysed *score.Score) {
	for _, l := range shown.Lines {
		if l.Kind != notation.Crescendo && l.Kind != notation.Diminuendo {
			continue
		}
		same := func(h score.Hairpin) bool {
			return h.From == l.From && h.To == l.To && h.Growing == (l.Kind == notation.Crescendo)
		}
		if !slices.ContainsFunc(analysed.Hairpins, same) {
			t.Errorf("a hairpin is shown from %s to %s and not analysed so: %v", l.From, l.To, analysed.Hairpins)
		}
	}
}

func checkLadders(t *testing.T, s *score.Score) {
	r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	p := newPiece(r)
	for i := range r.Spots {
		spot := &r.Spots[i]
		var drilled []detect.Pace
		for _, e := range newPassage(p, spot).ladder() {
			drilled = append(drilled, e.pace)
		}
		if advised := practice.For(r, spot).Ladder; !slices.Equal(advised, drilled) && spot.Comfortable > 0 {
			t.Errorf("spot %s: advised %v, drilled %v", spot.ID, advised, drilled)
		}
	}
}
