package score

import (
	"encoding/json"
	"testing"
)

// threeBars is a pickup of a quarter and two bars of 3/4.
func threeBars() *Score {
	return &Score{
		Bars: []Bar{
			{Number: "0", Index: 1, Length: Int(1), Implicit: true},
			{Number: "1", Index: 2, Start: Int(1), Length: Int(3)},
			{Number: "2", Index: 3, Start: Int(4), Length: Int(3)},
		},
		Tempos: []Tempo{{QPM: 60}, {At: Int(4), QPM: 90}},
		Dynamics: []Dynamic{
			{At: Int(1), Hand: Both, Mark: "p"}, {At: Int(2), Hand: Right, Mark: "f"}, {At: Int(4), Hand: Left, Mark: "mf"},
		},
	}
}

func TestBarsAtAnInstant(t *testing.T) {
	s := threeBars()
	tests := []struct {
		at             Rat
		begins, ending int
	}{
		{Int(-1), 0, 0}, {Int(0), 0, 0}, {R(1, 2), 0, 0}, {Int(1), 1, 0}, {R(5, 2), 1, 1}, {Int(4), 2, 1}, {Int(7), 2, 2}, {Int(9), 2, 2},
	}
	for _, test := range tests {
		if got := s.BarAt(test.at); got != test.begins {
			t.Errorf("BarAt(%s) = %d, want %d", test.at, got, test.begins)
		}
		if got := s.BarEnding(test.at); got != test.ending {
			t.Errorf("BarEnding(%s) = %d, want %d", test.at, got, test.ending)
		}
	}
	if s.End() != Int(7) || (&Score{}).End() != Int(0) {
		t.Error("End")
	}
}

func TestInForce(t *testing.T) {
	s := threeBars()
	tests := []struct {
		at          Rat
		qpm         float64
		right, left string
	}{
		{Int(0), 60, "", ""}, {Int(1), 60, "p", "p"}, {R(7, 2), 60, "f", "p"}, {Int(4), 90, "f", "mf"}, {Int(50), 90, "f", "mf"},
	}
	for _, test := range tests {
		if got := s.TempoAt(test.at).QPM; got != test.qpm {
			t.Errorf("tempo at %s: %g", test.at, got)
		}
		if r, l := s.DynamicAt(Right, test.at), s.DynamicAt(Left, test.at); r != test.right || l != test.left {
			t.Errorf("dynamics at %s: right %q, left %q", test.at, r, l)
		}
	}
}

// The beat of a compound signature is the dotted value (common practice).
func TestTimeSignature(t *testing.T) {
	tests := []struct {
		time Time
		name string
		beat Rat
	}{
		{Time{"3", 4, Int(3)}, "3/4", Int(1)},
		{Time{"2", 2, Int(4)}, "2/2", Int(2)},
		{Time{"6", 8, Int(3)}, "6/8", R(3, 2)},
		{Time{"12", 8, Int(6)}, "12/8", R(3, 2)},
		{Time{"9", 16, R(9, 4)}, "9/16", R(3, 4)},
		{Time{"3", 8, R(3, 2)}, "3/8", R(1, 2)},
		{Time{"3+2", 8, R(5, 2)}, "3+2/8", R(1, 2)},
		{Time{"2/4+3/8", 4, R(7, 2)}, "2/4+3/8", Int(1)},
		{Time{}, "", Int(1)},
	}
	for _, test := range tests {
		if test.time.String() != test.name || test.time.Beat() != test.beat {
			t.Errorf("%+v: %q with a beat of %s", test.time, test.time, test.time.Beat())
		}
	}
}

func TestNames(t *testing.T) {
	data, err := json.Marshal([]Hand{Right, Left, Both})
	if err != nil || string(data) != `["right","left","both"]` {
		t.Errorf("hands in JSON: %s, %v", data, err)
	}
	if Damper.String() != "damper" || Sostenuto.String() != "sostenuto" || Soft.String() != "soft" {
		t.Error("pedals")
	}
	if got := (Warning{Bar: "12a", Text: "odd"}).String(); got != "bar 12a: odd" {
		t.Error(got)
	}
	if got := (Warning{Text: "odd"}).String(); got != "odd" {
		t.Error(got)
	}
	n := Note{Onset: Int(2), Length: R(3, 2), Heads: make([]Head, 2)}
	if n.End() != R(7, 2) || !n.Tied() || (&Note{Heads: make([]Head, 1)}).Tied() {
		t.Error("a note's end, or whether it is tied")
	}
}
