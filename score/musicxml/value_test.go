package musicxml

import (
	"testing"

	"github.com/beevik/etree"

	"hardbars/score"
)

// Note values, dots and tuplets from common notation.
func TestValueOf(t *testing.T) {
	for _, c := range []struct {
		length score.Rat
		want   Value
	}{
		{score.Int(4), Value{Type: "whole"}}, {score.Int(1), Value{Type: "quarter"}}, {score.R(1, 8), Value{Type: "32nd"}},
		{score.Int(3), Value{Type: "half", Dots: 1}}, {score.R(7, 4), Value{Type: "quarter", Dots: 2}}, {score.R(3, 8), Value{Type: "16th", Dots: 1}},
	} {
		if got, ok := ValueOf(c.length); !ok || got != c.want || got.Length() != c.length {
			t.Errorf("%s quarters: %+v %t, want %+v", c.length, got, ok, c.want)
		}
	}
	for _, length := range []score.Rat{score.R(5, 4), score.R(1, 3), score.Int(5), {}, score.Int(-1), score.R(1, 1<<20)} {
		if got, ok := ValueOf(length); ok {
			t.Errorf("%s quarters: %+v, and no single sign has it", length, got)
		}
	}
}

func TestValueIn(t *testing.T) {
	for _, c := range []struct {
		length         score.Rat
		actual, normal int64
		want           string
		dots           int
	}{
		{score.R(1, 3), 3, 2, "eighth", 0}, {score.R(1, 2), 3, 2, "eighth", 1}, {score.R(4, 5), 5, 4, "quarter", 0},
		{score.R(3, 11), 11, 6, "eighth", 0}, {score.R(3, 7), 7, 6, "eighth", 0},
	} {
		got, ok := ValueIn(c.length, c.actual, c.normal)
		if want := (Value{c.want, c.dots, c.actual, c.normal}); !ok || got != want || got.Length() != c.length {
			t.Errorf("%s quarters: %+v %t, want %+v", c.length, got, ok, want)
		}
	}
	if got, ok := ValueIn(score.R(5, 3), 3, 2); ok {
		t.Errorf("five eighths of a triplet: %+v", got)
	}
}

// What is written is read as the same length.
func TestValuesAreReadBack(t *testing.T) {
	for name := range noteTypes {
		for dots := range mostDots + 1 {
			for _, tuplet := range [][2]int64{{0, 0}, {3, 2}, {7, 6}} {
				v := Value{name, dots, tuplet[0], tuplet[1]}
				note := etree.NewElement("note")
				v.Add(note, "sharp")
				read := symbol{
					noteType: childText(note, "type"), dots: len(note.SelectElements("dot")),
					actual: whole(childText(note.SelectElement("time-modification").NotNil(), "actual-notes")),
					normal: whole(childText(note.SelectElement("time-modification").NotNil(), "normal-notes")),
				}
				if got := read.lengths(); got[0] != v.Length() {
					t.Errorf("%+v lasts %s and is read as %s", v, v.Length(), got[0])
				}
			}
		}
	}
}

func TestFlags(t *testing.T) {
	for name, want := range map[string]int{"half": 0, "quarter": 0, "eighth": 1, "16th": 2, "64th": 4} {
		if got := (Value{Type: name}).Flags(); got != want {
			t.Errorf("a %s has %d flags, want %d", name, got, want)
		}
	}
}
