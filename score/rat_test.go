package score

import (
	"encoding/json"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// numbers are Rats of the size that music has, and at the edges of what fits.
func numbers() []Rat {
	rng := rand.New(rand.NewPCG(1, 2))
	edges := []int64{0, 1, -1, 2, 3, 7, 480, 10080, 1 << 31, 1 << 40, math.MaxInt64, math.MaxInt64 - 1, -math.MaxInt64, math.MinInt64}
	var all []Rat
	for _, num := range edges {
		for _, den := range edges {
			if num != math.MinInt64 && den != math.MinInt64 {
				all = append(all, R(num, den))
			}
		}
	}
	for range 300 {
		all = append(all, R(rng.Int64N(2000)-1000, rng.Int64N(1000)+1), R(rng.Int64()-rng.Int64(), rng.Int64()))
	}
	return all
}

// Arithmetic is checked against math/big. Where the exact result does not fit,
// and only there, it overflows.
func TestRatAgainstBig(t *testing.T) {
	check := func(op string, a, b Rat, of func(b Rat) Rat, want *big.Rat) {
		t.Helper()
		got, err := counted(of, b)
		if held := fits(want.Num()) && fits(want.Denom()); held != (err == nil) {
			t.Errorf("%s %s %s, which is %s: overflow %v", a, op, b, want, err)
		}
		if err != nil {
			return
		}
		if new(big.Rat).Sub(got.big(), want).Sign() != 0 {
			t.Errorf("%s %s %s = %s, want %s", a, op, b, got, want)
		}
		if got.Den() < 1 || gcd(got.Num(), got.Den()) != 1 && got.Num() != 0 {
			t.Errorf("%s %s %s = %d/%d is not in lowest terms", a, op, b, got.Num(), got.Den())
		}
	}
	all := numbers()
	for i, a := range all {
		for _, b := range all[max(0, i-40):i] {
			check("+", a, b, a.Add, new(big.Rat).Add(a.big(), b.big()))
			check("-", a, b, a.Sub, new(big.Rat).Sub(a.big(), b.big()))
			check("*", a, b, a.Mul, new(big.Rat).Mul(a.big(), b.big()))
			if !b.IsZero() {
				check("/", a, b, a.Div, new(big.Rat).Quo(a.big(), b.big()))
			}
			if got, want := a.Cmp(b), a.big().Cmp(b.big()); got != want || a.Less(b) != (want < 0) || (a == b) != (want == 0) {
				t.Errorf("%s against %s: %d, want %d", a, b, got, want)
			}
			if low, high := Min(a, b), Max(a, b); high.Less(low) || low != a && low != b || low == high && a != b {
				t.Errorf("of %s and %s: Min %s, Max %s", a, b, low, high)
			}
		}
	}
}

// counted is a result, or the overflow.
func counted(of func(Rat) Rat, b Rat) (r Rat, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fault.(error)
		}
	}()
	return of(b), nil
}

func TestRatText(t *testing.T) {
	for _, a := range numbers() {
		got, err := ParseRat(a.String())
		if err != nil || got != a {
			t.Errorf("%s is read back as %s, %v", a, got, err)
		}
	}
	tests := []struct {
		text string
		want Rat
	}{{"3", Int(3)}, {"-3/2", R(-3, 2)}, {"0.75", R(3, 4)}, {" 6/4 ", R(3, 2)}, {"0", Rat{}}}
	for _, test := range tests {
		if got, err := ParseRat(test.text); err != nil || got != test.want {
			t.Errorf("%q is read as %s, %v", test.text, got, err)
		}
	}
	for _, text := range []string{"", "three", "1/0", "1e9", "0x10", "1_000", "1/2/3", "Inf", "NaN", "1/9223372036854775809", "99999999999999999999"} {
		if got, err := ParseRat(text); err == nil {
			t.Errorf("%q is read as %s", text, got)
		}
	}
}

func TestRatInJSON(t *testing.T) {
	type place struct {
		Offset Rat `json:"offset"`
	}
	data, err := json.Marshal(place{R(3, 2)})
	if err != nil || string(data) != `{"offset":"3/2"}` {
		t.Errorf("written as %s, %v", data, err)
	}
	var got place
	if err := json.Unmarshal(data, &got); err != nil || got.Offset != R(3, 2) {
		t.Errorf("read back as %v, %v", got, err)
	}
	if json.Unmarshal([]byte(`{"offset":"soon"}`), &got) == nil {
		t.Error("a word is read as a number")
	}
}

func TestRatOfNothing(t *testing.T) {
	var zero Rat
	if zero != R(0, 7) || zero != Int(0) || zero.Den() != 1 || zero.String() != "0" || R(1, 0) != zero || Int(1).Div(zero) != zero {
		t.Error("the zero value is not 0")
	}
	if Int(3).Float() != 3 || R(-1, 4).Float() != -0.25 || R(-1, 4).Sign() != -1 {
		t.Error("Float or Sign")
	}
}
