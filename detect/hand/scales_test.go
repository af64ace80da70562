package hand

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

// scales are the standard fingerings of the trade, of one octave from the
// keynote up, as they go on from octave to octave (common practice, from
// memory). Where the outermost notes are fingered otherwise, any finger that
// handbooks give there is right.
var scales = []struct {
	tonic       int
	minor       bool // harmonic
	right, left string
}{
	{0, false, "1231234", "1432132"}, {7, false, "1231234", "1432132"}, {2, false, "1231234", "1432132"},
	{9, false, "1231234", "1432132"}, {4, false, "1231234", "1432132"}, {11, false, "1231234", "1321432"},
	{6, false, "2341231", "4321321"}, {1, false, "2312341", "3214321"}, {8, false, "3412312", "3214321"},
	{3, false, "3123412", "3214321"}, {10, false, "4123123", "3214321"}, {5, false, "1234123", "1432132"},
	{9, true, "1231234", "1432132"}, {4, true, "1231234", "1432132"}, {11, true, "1231234", "1321432"},
	{6, true, "3412312", "4321321"}, {1, true, "3412312", "3214321"}, {8, true, "3412312", "3214321"},
	{3, true, "3123412", "2143213"}, {10, true, "4123123", "2132143"}, {5, true, "1234123", "1432132"},
	{0, true, "1231234", "1432132"}, {7, true, "1231234", "1432132"}, {2, true, "1231234", "1432132"},
}

func TestScales(t *testing.T) {
	for _, c := range scales {
		degrees := []int{0, 2, 4, 5, 7, 9, 11}
		if c.minor {
			degrees = []int{0, 2, 3, 5, 7, 8, 11}
		}
		for _, side := range []score.Hand{score.Right, score.Left} {
			text := c.right
			if side == score.Left {
				text = c.left
			}
			var keys, want []int
			for octave := range 2 {
				for i, d := range degrees {
					keys, want = append(keys, 48+c.tonic+12*octave+d), append(want, int(text[i]-'0'))
				}
			}
			keys, want = append(keys, 72+c.tonic), append(want, int(text[0]-'0'))
			for _, down := range []bool{false, true} {
				if down {
					keys, want = reversed(keys), reversed(want)
				}
				got := fingersOf(side, keys)
				for i := 1; i < len(keys)-1; i++ {
					if got[i] != want[i] {
						t.Errorf("from %s, minor %t, %s hand, down %t: %v, want %v", pitchOf(60+c.tonic), c.minor, side, down, got, want)
						break
					}
				}
			}
		}
	}
}

func reversed(in []int) []int {
	out := make([]int, len(in))
	for i, x := range in {
		out[len(in)-1-i] = x
	}
	return out
}

// fingersOf are the fingers of keys played one after the other as sixteenths.
func fingersOf(side score.Hand, keys []int) []int {
	f, s := line(side, keys)
	var got []int
	for i := range s.Notes {
		got = append(got, f.Notes[i].Finger)
	}
	return got
}

func line(side score.Hand, keys []int) (*Fingering, *score.Score) {
	s := lineOf(side, keys)
	return Finger(s, hands, allegro), s
}

// lineOf writes keys one after the other as sixteenths.
func lineOf(side score.Hand, keys []int) *score.Score {
	s := &score.Score{Bars: []score.Bar{{Number: "1", Index: 1, Length: score.Int(int64(len(keys)))}}}
	for i, k := range keys {
		s.Notes = append(s.Notes, score.Note{Hand: side, Onset: score.R(int64(i), 4), Length: score.R(1, 4), Pitch: pitchOf(k)})
	}
	return s
}

func pitchOf(key int) score.Pitch {
	pc := PitchClass(key)
	if IsBlack(key) {
		p := pitchOf(key - 1)
		p.Alter = 1
		return p
	}
	return score.Pitch{Step: strings.ReplaceAll("C D EF G A B", " ", "_")[pc], Octave: key/12 - 1}
}

// Arpeggios of triads over two octaves, as handbooks finger them (common
// practice, from memory); where they differ, both are right.
func TestArpeggios(t *testing.T) {
	white := []string{"1231235 1241235 1241245", "5421421 5321321 5421321"}
	for _, c := range []struct {
		name  string
		keys  []int
		right string
		left  string
	}{
		{"C", []int{0, 4, 7}, white[0], white[1]}, {"G", []int{7, 11, 14}, white[0], white[1]},
		{"F", []int{5, 9, 12}, white[0], white[1]}, {"D", []int{2, 6, 9}, white[0], white[1]},
		{"A", []int{9, 13, 16}, white[0], white[1]}, {"E", []int{4, 8, 11}, white[0], white[1]},
		{"B", []int{11, 15, 18}, white[0], white[1]},
		{"C minor", []int{0, 3, 7}, white[0], white[1]}, {"G minor", []int{7, 10, 14}, white[0], white[1]},
		{"F minor", []int{5, 8, 12}, white[0], white[1]}, {"D minor", []int{2, 5, 9}, white[0], white[1]},
		{"A minor", []int{9, 12, 16}, white[0], white[1]}, {"E minor", []int{4, 7, 11}, white[0], white[1]},
		{"B minor", []int{11, 14, 18}, white[0], white[1]},
		{"D flat", []int{1, 5, 8}, "2124124 4124124", "2142142 3214214"}, {"E flat", []int{3, 7, 10}, "2124124 4124124", "2142142 3214214"},
		{"A flat", []int{8, 12, 15}, "2124124 4124124", "2142142 3214214"}, {"B flat", []int{10, 14, 17}, "2124124 4124124", "3213213 2132132 3213212"},
		{"F sharp", []int{6, 10, 13}, white[0], white[1]}, {"E flat minor", []int{3, 6, 10}, white[0], white[1]},
		{"C sharp minor", []int{1, 4, 8}, "2124124 4124124", "2142142 3214214"}, {"F sharp minor", []int{6, 9, 13}, "2124124 4124124", "2142142 3214214"},
		{"G sharp minor", []int{8, 11, 15}, "2124124 4124124", "2142142 3214214"}, {"B flat minor", []int{10, 13, 17}, "2312312 2312313", "3213213 2132132 3213212"},
	} {
		var keys []int
		for i := range 7 {
			keys = append(keys, 48+c.keys[i%3]+12*(i/3))
		}
		for _, side := range []score.Hand{score.Right, score.Left} {
			want := c.right
			if side == score.Left {
				want = c.left
			}
			for _, down := range []bool{false, true} {
				played := keys
				if down {
					played = reversed(keys)
				}
				got := fingersOf(side, played)
				if down {
					got = reversed(got)
				}
				text := strings.NewReplacer("[", "", "]", "", " ", "").Replace(fmt.Sprint(got))
				if !strings.Contains(" "+want+" ", " "+text+" ") {
					t.Errorf("%s, %s hand, down %t: %s, want %s", c.name, side, down, text, want)
				}
			}
		}
	}
}

// Chromatic scales: 3 on every black key, 2 on the second of two white
// neighbours, else the thumb (common practice).
func TestChromaticScales(t *testing.T) {
	var keys []int
	for k := 48; k <= 72; k++ {
		keys = append(keys, k)
	}
	for _, side := range []score.Hand{score.Right, score.Left} {
		for _, played := range [][]int{keys, reversed(keys)} {
			got := fingersOf(side, played)
			for i := 1; i < len(got)-1; i++ {
				want := 1
				switch pc := PitchClass(played[i]); {
				case IsBlack(played[i]):
					want = 3
				case side == score.Right && (pc == 0 || pc == 5), side == score.Left && (pc == 4 || pc == 11):
					want = 2
				}
				if got[i] != want {
					t.Errorf("%s hand: key %d with %d, want %d", side, played[i], got[i], want)
				}
			}
		}
	}
}

// Thirds of a C major scale: handbooks take them in turn with 1-3, 2-4 and
// 3-5, with 1-2 where the turn is, and never one pair of fingers twice in a row
// (common practice).
func TestDoubleThirds(t *testing.T) {
	for _, side := range []score.Hand{score.Right, score.Left} {
		for _, down := range []bool{false, true} {
			s := &score.Score{Bars: []score.Bar{{Number: "1", Index: 1, Length: score.Int(15)}}}
			for i := range 15 {
				at := 28 + i
				if down {
					at = 42 - i
				}
				for _, p := range []score.Pitch{score.PitchAt(at, 0), score.PitchAt(at+2, 0)} {
					s.Notes = append(s.Notes, score.Note{Hand: side, Onset: score.R(int64(i), 4), Length: score.R(1, 4), Pitch: p})
				}
			}
			f := Finger(s, hands, allegro)
			last := ""
			for i := 0; i < len(s.Notes); i += 2 {
				pair := fmt.Sprint(min(f.Notes[i].Finger, f.Notes[i+1].Finger), "-", max(f.Notes[i].Finger, f.Notes[i+1].Finger))
				if pair == last || !strings.Contains("1-2 1-3 2-4 3-5", strings.ReplaceAll(pair, " ", "")) {
					t.Errorf("%s hand, down %t: third %d with %s after %s", side, down, i/2+1, pair, last)
				}
				last = pair
			}
		}
	}
}
