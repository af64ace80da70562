package plan

import (
	"math/rand/v2"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
)

func TestJudge(t *testing.T) {
	trouble := func(first int, demand float64, timed bool) place {
		return place{family: first, first: first, last: first + 1, demand: demand, hand: score.Right, timed: timed}
	}
	for _, c := range []struct {
		name   string
		places []place
		want   Reach
		says   []string
	}{
		{"nothing hard", nil, Within, []string{"Within reach now"}},
		{"hardly past comfort", []place{trouble(4, 1.1, true)}, Within, []string{"Within reach now"}},
		{"past comfort", []place{trouble(4, 1.5, true), trouble(20, 1.4, true)}, Stretch, []string{"A stretch: about", "2 passages come first"}},
		{"one odd place does not decide", []place{trouble(4, 2.5, true), trouble(20, 1.3, true), trouble(30, 1.3, true)}, Stretch, nil},
		{"far past comfort", []place{trouble(4, 2.5, true), trouble(20, 2.4, true), trouble(30, 2.2, true)}, NotYet,
			[]string{"Not yet: bar 5 ", "bar 21 ", "bar 31 ", "At quarter = 63 the piece is within reach.", "bring it nearer"}},
		{"no hand is so wide", []place{trouble(4, 1.5, false), trouble(20, 1.5, false), trouble(30, 1.4, false)}, NotYet, []string{"Not yet"}},
	} {
		v := Judge(reportWith(piece(40, fourFour, 100), c.places...), 30, 5)
		if v.Reach != c.want || (v.Weeks == 0) != (c.want == NotYet) {
			t.Errorf("%s: %+v", c.name, v)
		}
		for _, words := range c.says {
			if !strings.Contains(v.Words, words) {
				t.Errorf("%s: %q does not say %q", c.name, v.Words, words)
			}
		}
	}
}

// More practice never takes more weeks, and what is harder is never nearer.
func TestJudgeIsFair(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		r := random(rng)
		little, much := Judge(r, 15, 3), Judge(r, 60, 6)
		if little.Reach != much.Reach || little.Weeks < much.Weeks {
			t.Fatalf("15 minutes: %+v, 60 minutes: %+v", little, much)
		}
		harder := *r
		harder.Passages = nil
		for _, p := range r.Passages {
			var troubles []detect.Trouble
			for _, tr := range p.Troubles {
				o := *tr.Hardest
				o.Demand *= 1.5
				tr.Hardest = &o
				troubles = append(troubles, tr)
			}
			p.Troubles, p.Demand = troubles, 1.5*p.Demand
			harder.Passages = append(harder.Passages, p)
		}
		if v := Judge(&harder, 15, 3); v.Reach < little.Reach {
			t.Fatalf("%+v, and half as hard again %+v", little, v)
		}
	}
}
