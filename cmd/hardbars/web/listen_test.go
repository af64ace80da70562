package web

import (
	"slices"
	"testing"

	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/form"
	"hardbars/score/scoretest"
)

// heard is what is played of some bars, counted from 1, or of a place.
func heard(t *testing.T, s *score.Score, first, last int, kind detect.Kind) (playing, *detect.Spot) {
	t.Helper()
	report := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
	said, err := (&remarks.Page{}).On(report)
	if err != nil {
		t.Fatal(err)
	}
	st := &study{reading: &reading{score: s, form: form.Find(s)}, said: said, whole: report}
	what := &stretch{first: first - 1, last: last - 1}
	for i := range report.Spots {
		if report.Spots[i].Kind == kind && what.spot == nil {
			what.spot = &report.Spots[i]
		}
	}
	if kind != "" && what.spot == nil {
		t.Fatalf("no place of the kind %s", kind)
	}
	return st.playing(what), what.spot
}

func bars(t *testing.T, p scoretest.Piece, first, last int) playing {
	t.Helper()
	played, _ := heard(t, p.Score(t), first, last, "")
	return played
}

func same(t *testing.T, what string, got, want []float64) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func ats[T any](all []T, at func(T) float64) (times []float64) {
	for _, one := range all {
		times = append(times, at(one))
	}
	return times
}

func noteAt(n playedNote) float64 { return n.At }

// A pickup of one beat is counted in by a full bar and the two beats that it
// lacks, and is not itself a first beat. Common practice.
func TestPickupIsCountedIn(t *testing.T) {
	p := bars(t, scoretest.Piece{Time: "3/4", QPM: 60, Pickup: "1", Right: []string{"G4:1 | C5:1 D5:1 E5:1"}, Left: []string{"r:1 | C3:3"}}, 1, 2)
	when := func(b playedBeat) float64 { return b.At }
	same(t, "count-in", ats(p.CountIn, when), []float64{-5, -4, -3, -2, -1})
	same(t, "beats", ats(p.Beats, when), []float64{0, 1, 2, 3})
	for i, b := range p.CountIn {
		if b.First != (i == 0 || i == 3) {
			t.Errorf("count %d: first is %v", i, b.First)
		}
	}
	for i, b := range p.Beats {
		if b.First != (i == 1) {
			t.Errorf("beat %d: first is %v", i, b.First)
		}
	}
}

// A bar that a repeat sign cuts in two is counted on through its second half;
// a bar that is short at its end is counted from its start.
func TestBarsCutInTwo(t *testing.T) {
	full := score.Time{Beats: "4", BeatType: 4, Length: score.Int(4)}
	cut := []score.Bar{
		{Index: 1, Length: score.Int(4), Time: full},
		{Index: 2, Start: score.Int(4), Length: score.Int(3), Time: full},
		{Index: 3, Start: score.Int(7), Length: score.Int(1), Time: full, Implicit: true},
	}
	for i, want := range []int64{0, 4, 4} {
		if got := barLine(cut, i); got != score.Int(want) {
			t.Errorf("bar %d is counted from %s, want %d", i+1, got, want)
		}
	}
}

// In 6/8 two dotted quarters are counted.
func TestCompoundTimeIsCountedInItsBeats(t *testing.T) {
	p := bars(t, scoretest.Piece{Time: "6/8", QPM: 90, Right: []string{"C5:3"}, Left: []string{"C3:3"}}, 1, 1)
	same(t, "count-in", ats(p.CountIn, func(b playedBeat) float64 { return b.At }), []float64{-2, -1})
	if p.Pace.Beat != "dotted quarter" || p.Pace.PerMinute != 60 {
		t.Errorf("%+v", p.Pace)
	}
}

// Two beats at 60, two at 120: 2 s and 1 s.
func TestTempoChangesInTheStretch(t *testing.T) {
	p := bars(t, scoretest.Piece{QPM: 60, Right: []string{"C5:1 D5:1 @tempo=120 E5:1 F5:1"}, Left: []string{"C3:4"}}, 1, 1)
	if p.Seconds != 3 {
		t.Errorf("%v seconds, want 3", p.Seconds)
	}
	right := slices.DeleteFunc(p.Notes, func(n playedNote) bool { return n.Hand == score.Left })
	same(t, "notes", ats(right, noteAt), []float64{0, 1, 2, 2.5})
}

// Tied notes are one; one that is tied into the stretch is struck as it begins,
// for what is left of it, and lights up only what can be seen.
func TestTiesAreOneNote(t *testing.T) {
	piece := scoretest.Piece{QPM: 60, Right: []string{"C5:4~ | C5:4"}, Left: []string{"C3:4 | D3:4"}}
	c5 := func(p playing) []playedNote {
		return slices.DeleteFunc(p.Notes, func(n playedNote) bool { return n.MIDI != 72 })
	}
	for _, c := range []struct{ first, seconds, heads int }{{1, 8, 2}, {2, 4, 1}} {
		got := c5(bars(t, piece, c.first, 2))
		if len(got) != 1 || got[0].At != 0 || got[0].Seconds != float64(c.seconds) || len(got[0].Heads) != c.heads {
			t.Errorf("from bar %d: %+v", c.first, got)
		}
	}
	if got := c5(bars(t, piece, 1, 1)); len(got) != 1 || got[0].Seconds != 4 || len(got[0].Heads) != 1 {
		t.Errorf("bar 1 alone: %+v", got)
	}
}

// Grace notes come before the beat, the last one next to it, and share half of
// the time where there is little.
func TestGraceNotesComeBeforeTheBeat(t *testing.T) {
	p := bars(t, scoretest.Piece{QPM: 60, Right: []string{"gD5 gE5 C5:1/8 gB4 gC5 D5:31/8"}, Left: []string{"r:4"}}, 1, 1)
	same(t, "notes", ats(p.Notes, noteAt), []float64{-0.16, -0.08, 0, 0.0625, 0.09375, 0.125})
}

func TestArpeggioBeginsOnTheBeat(t *testing.T) {
	p := bars(t, scoretest.Piece{QPM: 60, Right: []string{"C4+E4+G4:2^ C4+E4+G4:2v"}, Left: []string{"r:4"}}, 1, 1)
	same(t, "notes", ats(p.Notes, noteAt), []float64{0, 0.045, 0.09, 2, 2.045, 2.09})
	var keys []float64
	for _, n := range p.Notes {
		keys = append(keys, float64(n.MIDI))
		if end := micro(n.At + n.Seconds); end != 2 && end != 4 {
			t.Errorf("%d ends at %v", n.MIDI, end)
		}
	}
	same(t, "keys", keys, []float64{60, 64, 67, 67, 64, 60})
}

// The pedal holds what is let go until it is lifted, not what is let go as it
// is changed.
func TestPedalHolds(t *testing.T) {
	p := bars(t, scoretest.Piece{QPM: 60, Right: []string{"@ped C5:1 D5:1 @change E5:1 @lift F5:1"}, Left: []string{"r:4"}}, 1, 1)
	same(t, "rings", ats(p.Notes, func(n playedNote) float64 { return n.Rings }), []float64{2, 1, 1, 1})
	same(t, "keys", ats(p.Notes, func(n playedNote) float64 { return n.Seconds }), []float64{1, 1, 1, 1})
}

// Three against two in two quarters at 60: a third of two seconds, and a half.
func TestCompositeOfTwoRhythms(t *testing.T) {
	p := bars(t, scoretest.Piece{QPM: 60, Time: "2/4", Right: []string{"C5:2/3 D5:2/3 E5:2/3"}, Left: []string{"C3:1 G3:1"}}, 1, 1)
	want := []strike{{0, true, true}, {0.666667, true, false}, {1, false, true}, {1.333333, true, false}}
	if !slices.Equal(p.Strikes, want) {
		t.Errorf("%v, want %v", p.Strikes, want)
	}
}

func fromTestdata(t *testing.T, name string) *score.Score {
	t.Helper()
	r, err := read("../../../testdata/"+name+".musicxml", name)
	if err != nil {
		t.Fatal(err)
	}
	return r.score
}

// A sign sounds as the notes that the detector wrote out for it, all of them in
// the time of their note and with its heads.
func TestSignsAreWrittenOut(t *testing.T) {
	s := fromTestdata(t, "ornament")
	p, _ := heard(t, s, 1, len(s.Bars), "")
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Length.IsZero() || !slices.Contains(n.Ornaments, "trill-mark") {
			continue
		}
		var seconds float64
		var struck []playedNote
		for _, played := range p.Notes {
			if slices.Equal(played.Heads, []int{n.Heads[0].ID}) {
				struck, seconds = append(struck, played), seconds+played.Seconds
			}
		}
		clock := detect.Analyze(s, detect.DefaultPlayer(), kinds.All).Clock
		if want := clock.Seconds(n.Onset, n.End()); len(struck) < 3 || seconds > want+0.001 || seconds < want-0.001 {
			t.Errorf("the trill at %s: %d notes in %.3f s, want %.3f s", n.Onset, len(struck), seconds, want)
		}
		if struck[0].MIDI == struck[1].MIDI {
			t.Errorf("the trill at %s repeats its first note", n.Onset)
		}
		return
	}
	t.Error("the score has no trill")
}

// In a place whose melody was found, the melody is what was found.
func TestMelodyOfItsOwnPlace(t *testing.T) {
	s := fromTestdata(t, "melody-over-accompaniment")
	p, spot := heard(t, s, 1, len(s.Bars), "melody-over-accompaniment")
	o := spot.Occurrences[0]
	var sung []score.Pitch
	for _, n := range p.Notes {
		if n.Melody && n.Hand == o.Hand && !n.Onset.Less(o.From) && n.Onset.Less(o.To) {
			for i := range s.Notes {
				if s.Notes[i].Onset == n.Onset && s.Notes[i].Hand == n.Hand && s.Notes[i].Pitch.MIDI() == n.MIDI {
					sung = append(sung, s.Notes[i].Pitch)
				}
			}
		}
	}
	var want []score.Pitch
	for _, n := range o.Exercise.(detect.Layer).Notes {
		want = append(want, s.Notes[n].Pitch)
	}
	if !slices.Equal(sung, want) {
		t.Errorf("%v, want %v", sung, want)
	}
}
