package score

import (
	"fmt"
	"math"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// Rat is an exact rational number. Positions and lengths are Rats in quarter
// notes. Rats are plain values: == compares them, they can be map keys, and
// the zero value is 0.
//
// Music needs small denominators. Where the exact result of an operation does
// not fit in 64 bits over 64 bits, which only a hostile file can bring about, it
// panics with Overflow: there is never a wrong number. Whoever reads a file
// refuses what could lead there.
type Rat struct {
	num int64
	den int64 // denominator − 1, so that the zero value is 0/1
}

// Overflow is what exact arithmetic panics with where a result does not fit.
const Overflow = overflow("lengths too fine or too long to be counted exactly")

type overflow string

func (o overflow) Error() string { return string(o) }

// R returns num/den in lowest terms. A den of 0 gives 0.
func R(num, den int64) Rat {
	if den == 0 {
		return Rat{}
	}
	if num == math.MinInt64 || den == math.MinInt64 {
		return fromBig(new(big.Rat).SetFrac(big.NewInt(num), big.NewInt(den)))
	}
	if den < 0 {
		num, den = -num, -den
	}
	if g := gcd(num, den); g > 1 {
		num, den = num/g, den/g
	}
	return Rat{num, den - 1}
}

// Int returns n as a Rat.
func Int(n int64) Rat { return R(n, 1) }

// ParseRat reads "3", "-3/2" or "0.75".
func ParseRat(s string) (Rat, error) {
	r, ok := new(big.Rat).SetString(strings.TrimSpace(s))
	if !ok || strings.ContainsAny(s, "eExXpP_") {
		return Rat{}, fmt.Errorf("%q is not a number such as 3 or 3/2", s)
	}
	if !fits(r.Num()) || !fits(r.Denom()) {
		return Rat{}, fmt.Errorf("%q is too large or too fine a number", s)
	}
	return fromBig(r), nil
}

// Num is the numerator in lowest terms; it carries the sign.
func (a Rat) Num() int64 { return a.num }

// Den is the denominator in lowest terms, at least 1.
func (a Rat) Den() int64 { return a.den + 1 }

func (a Rat) Add(b Rat) Rat {
	if a.den == b.den {
		if sum := a.num + b.num; (sum > a.num) == (b.num > 0) {
			return R(sum, a.Den())
		}
	}
	g := gcd(a.Den(), b.Den())
	x, ok1 := mul(a.num, b.Den()/g)
	y, ok2 := mul(b.num, a.Den()/g)
	den, ok3 := mul(a.Den()/g, b.Den())
	if sum := x + y; ok1 && ok2 && ok3 && (sum > x) == (y > 0) {
		return R(sum, den)
	}
	return fromBig(new(big.Rat).Add(a.big(), b.big()))
}

func (a Rat) Sub(b Rat) Rat { return a.Add(Rat{-b.num, b.den}) }

func (a Rat) Mul(b Rat) Rat {
	g, h := gcd(a.num, b.Den()), gcd(b.num, a.Den())
	if g == 0 || h == 0 {
		return Rat{}
	}
	num, ok1 := mul(a.num/g, b.num/h)
	den, ok2 := mul(a.Den()/h, b.Den()/g)
	if ok1 && ok2 {
		return R(num, den)
	}
	return fromBig(new(big.Rat).Mul(a.big(), b.big()))
}

// Div returns a/b, and 0 when b is 0.
func (a Rat) Div(b Rat) Rat {
	if b.num < 0 {
		return a.Mul(Rat{-b.Den(), -b.num - 1})
	}
	if b.num == 0 {
		return Rat{}
	}
	return a.Mul(Rat{b.Den(), b.num - 1})
}

// Cmp is −1, 0 or 1 as a is less than, equal to or greater than b.
func (a Rat) Cmp(b Rat) int {
	if a.den == b.den {
		return compare(a.num, b.num)
	}
	x, ok1 := mul(a.num, b.Den())
	y, ok2 := mul(b.num, a.Den())
	if ok1 && ok2 {
		return compare(x, y)
	}
	return a.big().Cmp(b.big())
}

func (a Rat) Less(b Rat) bool { return a.Cmp(b) < 0 }

// Sign is −1, 0 or 1.
func (a Rat) Sign() int { return compare(a.num, 0) }

func (a Rat) IsZero() bool { return a.num == 0 }

// Float is for reports only: nothing is decided by it.
func (a Rat) Float() float64 { return float64(a.num) / float64(a.Den()) }

// Min returns the smaller of a and b.
func Min(a, b Rat) Rat {
	if b.Less(a) {
		return b
	}
	return a
}

// Max returns the larger of a and b.
func Max(a, b Rat) Rat {
	if a.Less(b) {
		return b
	}
	return a
}

// String prints "3" or "3/2"; ParseRat reads it back.
func (a Rat) String() string {
	if a.den == 0 {
		return strconv.FormatInt(a.num, 10)
	}
	return strconv.FormatInt(a.num, 10) + "/" + strconv.FormatInt(a.Den(), 10)
}

// Pretty prints a whole number and a proper fraction: "2½", "1 5/6", "3/7".
func (a Rat) Pretty() string {
	if a.Sign() < 0 {
		return "−" + Int(0).Sub(a).Pretty()
	}
	whole, part := a.num/a.Den(), R(a.num%a.Den(), a.Den())
	fraction, short := fractions[part]
	switch {
	case part.IsZero():
		return strconv.FormatInt(whole, 10)
	case !short:
		fraction = part.String()
	}
	switch {
	case whole == 0:
		return fraction
	case short:
		return strconv.FormatInt(whole, 10) + fraction
	}
	return strconv.FormatInt(whole, 10) + " " + fraction
}

var fractions = map[Rat]string{R(1, 2): "½", R(1, 4): "¼", R(3, 4): "¾", R(1, 3): "⅓", R(2, 3): "⅔"}

// MarshalText makes a Rat a string in JSON: "3/2".
func (a Rat) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (a *Rat) UnmarshalText(text []byte) (err error) {
	*a, err = ParseRat(string(text))
	return err
}

func (a Rat) big() *big.Rat { return big.NewRat(a.num, a.Den()) }

func fromBig(r *big.Rat) Rat {
	if !fits(r.Num()) || !fits(r.Denom()) {
		panic(Overflow)
	}
	return R(r.Num().Int64(), r.Denom().Int64())
}

// fits reports whether n and −n are both held by an int64.
func fits(n *big.Int) bool { return n.IsInt64() && n.Int64() != math.MinInt64 }

func gcd(a, b int64) int64 {
	if a < 0 {
		a = -a
	}
	if b < 0 {
		b = -b
	}
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// mul returns a·b and whether it fits.
func mul(a, b int64) (int64, bool) {
	neg := (a < 0) != (b < 0)
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	if hi != 0 || lo > 1<<62 {
		return 0, false
	}
	if neg {
		return -int64(lo), true
	}
	return int64(lo), true
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return uint64(-a)
	}
	return uint64(a)
}

func compare(a, b int64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
