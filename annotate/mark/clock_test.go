package mark

import (
	"strings"
	"testing"

	"github.com/beevik/etree"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
)

// clock is a second, much simpler reading of a score's time than the project's
// own: durations as the file counts them, from the start of each bar. By it
// the tests check that a mark stands at its moment and moves no other.
type clock struct {
	starts map[*etree.Element]score.Rat // of notes and directions, from the start of their bar
	ends   map[*etree.Element]score.Rat // of notes
	bars   map[*etree.Element]int       // of notes and directions, counted in their part from 1
	count  int                          // bars of the longest part
}

func readClock(f *musicxml.File) clock {
	c := clock{map[*etree.Element]score.Rat{}, map[*etree.Element]score.Rat{}, map[*etree.Element]int{}, 0}
	divisions := map[string]int64{}
	bars := map[string]int{}
	eachBar(f, func(part string, bar *etree.Element) {
		bars[part]++
		c.count = max(c.count, bars[part])
		var now, chord score.Rat
		for e := range bar.ChildElementsSeq() {
			if d := e.SelectElement("divisions"); e.Tag == "attributes" && d != nil {
				divisions[part] = wholeNumber(d.Text())
			}
			length := score.R(wholeNumber(childText(e, "duration")), divisions[part])
			c.starts[e], c.bars[e] = now, bars[part]
			switch {
			case e.Tag == "backup":
				now = now.Sub(length)
			case e.Tag == "forward":
				now = now.Add(length)
			case e.Tag == "note" && has(e, "chord"):
				c.starts[e] = chord
				c.ends[e] = chord.Add(length)
			case e.Tag == "note":
				chord, now = now, now.Add(length)
				c.ends[e] = now
			}
		}
	})
	return c
}

func wholeNumber(text string) int64 {
	r, err := score.ParseRat(text)
	if err != nil {
		return 0
	}
	return r.Num()
}

// crowd is a report that finds something everywhere: in each hand and over
// both, runs of so many notes, the runs of the three hands of different length
// so that they overlap in every way. Hands are by staff, and each bar begins
// 100 quarters after the one before.
func crowd(f *musicxml.File, run int) *detect.Report {
	r := newReport()
	c := readClock(f)
	var hands [3][]int
	for range c.count {
		start := score.Int(int64(100 * len(r.Score.Bars)))
		r.Score.Bars = append(r.Score.Bars, score.Bar{Start: start, Length: score.Int(100)})
	}
	for id, note := range f.NoteElements() {
		if !has(note, "pitch") {
			continue
		}
		at := c.starts[note].Add(score.Int(int64(100 * c.bars[note])))
		hand, staff := score.Right, 1
		if childText(note, "staff") == "2" {
			hand, staff = score.Left, 2
		}
		length := c.ends[note].Sub(c.starts[note])
		n := r.note(id, at.String(), length.String(), staff, hand)
		hands[hand] = append(hands[hand], n)
		hands[score.Both] = append(hands[score.Both], n)
	}
	for hand, notes := range hands {
		for size := run + hand; len(notes) > 0; notes = notes[min(size, len(notes)):] {
			kind := kinds.All[len(r.Spots)%len(kinds.All)].Kind
			r.spot(score.Hand(hand), kind, strings.Repeat("la ", hand+1), notes[:min(size, len(notes))]...)
		}
	}
	return &r.Report
}

func TestCrowdFindsSomething(t *testing.T) {
	if spots := crowd(read(t, onePart("4.0")), 2).Spots; len(spots) != 5 {
		t.Fatalf("%d spots, not 5", len(spots))
	}
}
