package notation

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

// Hairpins in bars of four quarters, each sign as place, staff, number, and < or !
// for where it begins or ends. Common practice.
func TestHairpinEnds(t *testing.T) {
	for _, c := range []struct{ name, signs, want string }{
		{"one", "1,1,1,< 3,1,1,!", "1–3"},
		{"one after the other at one place", "0,1,1,< 2,1,1,< 2,1,1,! 3,1,1,!", "0–2 2–3"},
		{"one in another, by numbers", "0,1,1,< 1,2,2,< 2,2,2,! 3,1,1,!", "0–3 1–2"},
		{"ended on another staff", "0,1,1,< 2,2,1,!", "0–2"},
		{"one number that overlaps", "0,1,1,< 2,1,1,< 3,1,1,! 7/2,1,1,!", "0–2 2–3"},
		{"never ended", "5,1,1,<", "5–8"},
		{"never ended, and another begins", "0,1,1,< 1,1,1,< 2,1,1,!", "0–1 1–2"},
		{"an end without a beginning", "1,1,1,! 2,1,1,< 3,1,1,!", "2–3 loose 1"},
	} {
		var signs []HairpinSign
		for word := range strings.FieldsSeq(c.signs) {
			f := strings.Split(word, ",")
			at, err := score.ParseRat(f[0])
			if err != nil {
				t.Fatal(err)
			}
			signs = append(signs, HairpinSign{At: at, Staff: int(f[1][0] - '0'), Number: f[2], Ends: f[3] == "!"})
		}
		ends, loose := HairpinEnds(signs, func(at score.Rat) score.Rat { return score.Int(4 * (floor(at, score.Int(4)) + 1)) })
		var got []string
		for i, s := range signs {
			if !s.Ends {
				got = append(got, fmt.Sprintf("%s–%s", s.At, ends[i].At))
			}
		}
		for _, i := range loose {
			got = append(got, "loose "+signs[i].At.String())
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %s, want %s", c.name, strings.Join(got, " "), c.want)
		}
	}
}
