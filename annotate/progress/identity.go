package progress

import (
	"fmt"
	"regexp"
	"strings"

	"hardbars/detect"
	"hardbars/score"
)

// Bars is the kind of an entry about some bars as a whole, whatever is hard in
// them: a passage, a part of the piece, all of it.
const Bars detect.Kind = "bars"

// Identity is what a place is known by under any settings, for other hands and
// in later versions of the analysis, where its number may be another's: its
// bars, its hand and its kind.
type Identity struct {
	First, Last int // bars, counted from 1 in file order
	Hand        score.Hand
	Kind        detect.Kind
}

// Of is the identity of a hot spot.
func Of(sp *detect.Spot) Identity {
	return Identity{sp.FirstBar + 1, sp.LastBar + 1, sp.Hand, sp.Kind}
}

// OfBars is the identity of some bars, given as indices into Score.Bars.
func OfBars(first, last int) Identity { return Identity{first + 1, last + 1, score.Both, Bars} }

// String is the identity as it stands in a log and in addresses: "12-15-left-leap".
func (id Identity) String() string {
	return fmt.Sprintf("%d-%d-%s-%s", id.First, id.Last, id.Hand, id.Kind)
}

var identity = regexp.MustCompile(`^([1-9]\d{0,6})-([1-9]\d{0,6})-(right|left|both)-([a-z][a-z-]{0,60})$`)

// ParseIdentity reads what String writes.
func ParseIdentity(text string) (Identity, error) {
	m := identity.FindStringSubmatch(text)
	if m == nil || number(m[1]) > number(m[2]) {
		return Identity{}, fmt.Errorf("%q names no place: expected its bars, hand and kind, such as 12-15-left-leap", text)
	}
	hand, err := parseHand(m[3])
	return Identity{number(m[1]), number(m[2]), hand, detect.Kind(m[4])}, err
}

// Within reports whether the bars are there in a score.
func (id Identity) Within(s *score.Score) bool { return id.Last <= len(s.Bars) }

// Spot is the hot spot of a report that this is: of the same kind and hand, the
// very bars or those that have most in common with them, at least half of the
// one or the other; nil where there is none any more.
func (id Identity) Spot(r *detect.Report) *detect.Spot {
	var best *detect.Spot
	most := 0
	for i := range r.Spots {
		sp := &r.Spots[i]
		other := Of(sp)
		if other.Kind != id.Kind || other.Hand != id.Hand {
			continue
		}
		if other == id {
			return sp
		}
		common := min(id.Last, other.Last) - max(id.First, other.First) + 1
		if common > most && 2*common >= min(id.bars(), other.bars()) {
			best, most = sp, common
		}
	}
	return best
}

func (id Identity) bars() int { return id.Last - id.First + 1 }

// Words are the kind of an entry for the player to read.
func (id Identity) Words() string { return strings.ReplaceAll(string(id.Kind), "-", " ") }
