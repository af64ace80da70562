package notation

import (
	"testing"

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

func TestValuesInTuplets(t *testing.T) {
	for _, c := range []struct {
		length score.Rat
		in     Ratio
		want   Value
	}{
		{score.R(1, 3), Ratio{3, 2}, Value{"eighth", 0}}, {score.R(1, 2), Ratio{3, 2}, Value{"eighth", 1}}, {score.R(4, 5), Ratio{5, 4}, Value{"quarter", 0}},
		{score.R(3, 11), Ratio{11, 6}, Value{"eighth", 0}}, {score.R(3, 7), Ratio{7, 6}, Value{"eighth", 0}},
	} {
		got, ok := ValueOf(c.in.Written(c.length))
		if !ok || got != c.want || c.in.Played(got.Length()) != c.length {
			t.Errorf("%s quarters in %v: %+v %t, want %+v", c.length, c.in, got, ok, c.want)
		}
	}
	if got, ok := ValueOf(Ratio{3, 2}.Written(score.R(5, 3))); ok {
		t.Errorf("five eighths of a triplet: %+v", got)
	}
}

func TestFlags(t *testing.T) {
	for name, want := range map[string]int{"half": 0, "quarter": 0, "eighth": 1, "16th": 2, "64th": 4} {
		if got := (Value{Type: name}).Flags(); got != want {
			t.Errorf("a %s has %d flags, want %d", name, got, want)
		}
	}
}
