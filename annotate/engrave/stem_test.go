package engrave

import (
	"path/filepath"
	"testing"

	"hardbars/score"
	"hardbars/score/notation"
)

// whole is an excerpt of all of a score.
func whole(n *notation.Score) *excerpt {
	return newExcerpt(n, Options{From: n.Bars[0].Start, To: n.Bars[len(n.Bars)-1].End(), Width: 180})
}

// In every score each stem is long enough for what it carries, has a flag or
// as many beams as its value asks for, and no beam runs through the heads that
// it joins.
func TestStemsOfRealScores(t *testing.T) {
	for _, name := range scoreFiles(t) {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			e := whole(readNotation(t, name))
			lines, _ := e.lines(0)
			for _, line := range lines {
				checkStems(t, e.system(line, false, false, false))
			}
		})
	}
}

func checkStems(t *testing.T, l *layout) {
	t.Helper()
	beams, flags := l.inked(RoleBeam), map[int]int{}
	for _, it := range l.inked(RoleFlag) {
		flags[it.Chord]++
	}
	for _, c := range l.chords {
		if !c.stemmed() {
			continue
		}
		if n := c.length(); n < l.leastLength(c)*c.scale-1e-6 {
			t.Errorf("bar %d: a stem of a %s is %v long", c.Bar+1, c.Value.Type, n)
		}
		if want := flagsOf(c.Value) > 0 && c.beam == nil; (flags[c.index] == 1) != want {
			t.Errorf("bar %d: %d flags at a %s", c.Bar+1, flags[c.index], c.Value.Type)
		}
		if c.beam == nil {
			continue
		}
		if n := meeting(beams, c.stemX); n < flagsOf(c.Value) {
			t.Errorf("bar %d: %d beams at a %s", c.Bar+1, n, c.Value.Type)
		}
		if y := c.beam.at(c.stemX); (y-c.near().y)*c.dir() < 1 {
			t.Errorf("bar %d: a beam on %v at a head on %v", c.Bar+1, y, c.near().y)
		}
	}
}

// Set by rule alone, at least nine stems in ten go as those who wrote the
// scores beside the project have them; they turn some by choice.
func TestDirectionsAgreeWithEditors(t *testing.T) {
	same, all := 0, 0
	for _, name := range scoreFiles(t) {
		n := readNotation(t, name)
		written := make([]notation.Stem, len(n.Chords))
		for i := range n.Chords {
			c := &n.Chords[i]
			written[i] = c.Stem
			if c.Stem != notation.StemNone {
				c.Stem = notation.StemAuto
			}
		}
		e := whole(n)
		for _, c := range e.measure(line{from: e.from, to: e.to}).chords {
			if w := written[c.index]; c.stemmed() && w != notation.StemAuto {
				all++
				if c.up == (w == notation.StemUp) {
					same++
				}
			}
		}
	}
	if same*10 < all*9 {
		t.Errorf("%d of %d stems go as written", same, all)
	}
}

// A slashed grace note of any value is set: with a stroke across its stem, where
// it has a stem.
func TestSlashOfAnyValue(t *testing.T) {
	for value, strokes := range map[string]int{"breve": 0, "whole": 0, "half": 2, "quarter": 2, "eighth": 2, "1024th": 2} {
		for _, stem := range []notation.Stem{notation.StemUp, notation.StemDown} {
			grace := sounding(t, score.Int(0), "quarter", 1, "C5")
			grace.Length, grace.Grace, grace.Slashed, grace.Stem = score.Rat{}, 1, true, stem
			grace.Value.Type = value
			d := setAll(written(1, grace, sounding(t, score.Int(0), "whole", 1, "D5")))
			stems := itemsOf(d, RoleStem)
			if len(stems) != strokes {
				t.Errorf("%s: %d strokes", value, len(stems))
			}
			if len(stems) == 2 && !stems[0].Box.Meets(stems[1].Box) {
				t.Errorf("%s, stem %v: the stroke misses the stem", value, stem)
			}
		}
	}
}

// Two voices that strike together with stems to one side are turned apart, the
// upper one up; where a third voice is in the way, the second stands beside with
// a stem of its own, and alike quarters share one.
func TestVoicesThatClash(t *testing.T) {
	voice := func(name, value, pitches string) notation.Chord {
		c := sounding(t, score.Int(0), value, 1, pitches)
		c.Voice, c.Stem = name, notation.StemDown
		return c
	}
	stems := func(chords ...notation.Chord) (found []Item) {
		for _, it := range itemsOf(setAll(written(1, chords...)), RoleStem) {
			found = append(found, it)
		}
		return found
	}
	apart := stems(voice("1", "quarter", "G5"), voice("2", "half", "C5"))
	if len(apart) != 2 || apart[0].Stroke.Y2 > apart[0].Stroke.Y1 || apart[1].Stroke.Y2 < apart[1].Stroke.Y1 {
		t.Errorf("the stems are not turned apart: %v", apart)
	}
	third := voice("1", "quarter", "A5")
	third.Stem = notation.StemUp
	for value, one := range map[string]bool{"quarter": true, "half": false} {
		got := stems(third, voice("2", "quarter", "E5"), voice("3", value, "C5"))
		if len(got) != 3 || (got[1].Stroke.X2 == got[2].Stroke.X2) != one {
			t.Errorf("a third voice of a %s: %v", value, got)
		}
	}
}
