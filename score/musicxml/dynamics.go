package musicxml

import (
	"regexp"
	"slices"
	"sort"
	"strings"
	"unicode"

	"github.com/beevik/etree"

	"hardbars/score"
)

// scope is whom a sign is for.
type scope struct {
	own     score.Hand // the hand of the staff it is written to
	between bool       // it stands between the hands' staves and holds for both
}

func (s scope) hand() score.Hand {
	if s.between {
		return score.Both
	}
	return s.own
}

// staves tells the hands by their staves.
type staves struct {
	lowestRight, highestLeft int
	twoHands                 bool
}

// stavesOf takes a staff for the hand that plays most of its notes: the upper
// ones for the right, the lowest always for the left.
func stavesOf(s *score.Score) staves {
	right := map[int]int{} // by staff: the right hand's notes less the left hand's
	hands := map[score.Hand]bool{}
	last := 0
	for i := range s.Notes {
		n := &s.Notes[i]
		hands[n.Hand] = true
		last = max(last, n.Staff)
		if n.Hand == score.Right {
			right[n.Staff]++
		} else {
			right[n.Staff]--
		}
	}
	st := staves{lowestRight: 1, highestLeft: 2, twoHands: len(hands) == 2}
	for staff := 2; staff < last && right[staff] > 0; staff++ {
		st.lowestRight, st.highestLeft = staff, staff+1
	}
	return st
}

// scope tells for whom a sign of the direction is. Piano scores put what holds
// for both hands between the staves; a sign without a placement stands below
// its staff. Common practice.
func (st staves) scope(d *direction, sign *etree.Element) scope {
	above := d.above(sign)
	switch {
	case d.staff < 1 || !st.twoHands:
		return scope{score.Right, true}
	case d.staff <= st.lowestRight:
		return scope{score.Right, d.staff == st.lowestRight && !above}
	}
	return scope{score.Left, d.staff == st.highestLeft && above}
}

// wordScope tells for whom words about loudness are. Those above the music are
// for both hands too.
func (st staves) wordScope(d *direction) scope {
	sc := st.scope(d, d.wordSign())
	sc.between = sc.between || d.staff <= st.lowestRight
	return sc
}

// loudness is one dynamic mark on its way to the hands.
type loudness struct {
	scope
	at    score.Rat
	level string // "pp"; "" for a step from the mark in force
	words bool   // it is words
	step  int    // 1 for "più f"; 0 with a level
}

// readDynamics fills in s.Dynamics and s.Hairpins. A mark that is only an accent,
// such as "sfz", leaves the dynamic in force as it is and is kept as a word.
func readDynamics(s *score.Score, all []*direction) {
	st := stavesOf(s)
	var marks []loudness
	for _, d := range all {
		at := d.settled(s)
		for _, sign := range d.signs {
			if sign.Tag == "dynamics" && !hidden(sign) {
				mark := dynamicsText(sign)
				m, ok := newPhrase(mark).loudness(mark)
				if !ok {
					readDynamicText(s, d, st.scope(d, sign), mark)
					continue
				}
				m.at, m.scope = at, st.scope(d, sign)
				marks = append(marks, m)
				if m.level != mark {
					s.Words = append(s.Words, score.Text{At: d.at, Staff: d.staff, Text: mark})
				}
			}
		}
		if m, ok := d.phrase.loudness(d.text); ok {
			d.read = true
			m.at, m.scope, m.words = at, st.wordScope(d), true
			marks = append(marks, m)
		}
	}
	s.Dynamics = share(marks)
	readHairpins(s, all, st)
}

// readDynamicText takes the text of a <dynamics> that names no level: a hairpin
// such as "cresc.", or an accent, which is kept as a word.
func readDynamicText(s *score.Score, d *direction, sc scope, mark string) {
	if growing, ok := newPhrase(mark).hairpin(); ok {
		s.Hairpins = append(s.Hairpins, score.Hairpin{From: d.at, To: d.at, Hand: sc.hand(), Growing: growing})
	} else if mark != "" {
		s.Words = append(s.Words, score.Text{At: d.at, Staff: d.staff, Text: mark})
	}
}

// wordSign is the first <words> of the direction.
func (d *direction) wordSign() *etree.Element {
	i := slices.IndexFunc(d.signs, func(sign *etree.Element) bool { return sign.Tag == "words" })
	if i < 0 {
		return d.elem
	}
	return d.signs[i]
}

// settled is where a dynamic takes effect. An offset that passes no attack only
// moves the sign on the page.
func (d *direction) settled(s *score.Score) score.Rat {
	low, high := score.Min(d.at, d.soundAt), score.Max(d.at, d.soundAt)
	i := sort.Search(len(s.Notes), func(i int) bool { return low.Less(s.Notes[i].Onset) })
	if d.soundAt.Less(d.at) && i < len(s.Notes) && s.Notes[i].Onset.Cmp(high) <= 0 {
		return d.at
	}
	return d.soundAt
}

// dynamicsText joins the marks of a <dynamics>: <sf/><mp/> is "sfmp".
func dynamicsText(sign *etree.Element) string {
	var mark string
	for m := range sign.ChildElementsSeq() {
		if m.Tag == "other-dynamics" {
			mark += plain(m.Text())
		} else {
			mark += m.Tag
		}
	}
	return mark
}

var (
	levelMark = regexp.MustCompile(`^(p{1,6}|mp|mf|f{1,6}|n)$`)
	fadeMark  = regexp.MustCompile(`^(?:s{0,2}|m)f+z?(p{1,6}|m[pf])$`) // "fp", "sfpp", "mfp"
)

// levelOf is the dynamic that a mark leaves in force: "p" after "fp", and ""
// where the mark names none. "pf" is poco forte.
func levelOf(mark string) string {
	if m := fadeMark.FindStringSubmatch(mark); m != nil {
		return m[1]
	}
	switch {
	case mark == "pf":
		return "mf"
	case levelMark.MatchString(mark):
		return mark
	}
	return ""
}

// levelWords are dynamics in words. Sotto voce and mezza voce are given a level
// by common practice.
var levelWords = []struct{ words, level string }{
	{"pianississimo", "ppp"}, {"pianissimo", "pp"}, {"mezzo piano", "mp"}, {"mezzopiano", "mp"}, {"piano", "p"},
	{"fortississimo", "fff"}, {"fortissimo", "ff"}, {"mezzo forte", "mf"}, {"mezzoforte", "mf"}, {"poco forte", "mf"}, {"poco f", "mf"}, {"forte", "f"},
	{"sotto voce", "p"}, {"mezza voce", "mp"}, {"mezzo voce", "mp"},
}

// loudness reads a level or a step in words; text is the phrase as printed.
func (p phrase) loudness(text string) (loudness, bool) {
	step := 0
	switch {
	case p.says("piu p", "piu piano", "meno f", "meno forte"):
		step = -1
	case p.says("piu f", "piu forte", "meno p", "meno piano"):
		step = 1
	}
	if step != 0 {
		return loudness{step: step}, !p.says("sempre", "poco a poco")
	}
	for _, w := range levelWords {
		if p.says(w.words) && text != "Piano" { // the name of the instrument
			return loudness{level: w.level}, true
		}
	}
	level := printedLevel(text)
	return loudness{level: level}, level != ""
}

// printedLevel finds a mark among the first words of a text: "sempre pp". A
// mark is printed in small letters; "F" and "P" are something else, and so is
// "n" unless it stands alone.
func printedLevel(text string) string {
	if level := levelOf(text); level != "" {
		return level
	}
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' && r != '’' })
	for _, word := range words[:min(len(words), 4)] {
		if level := levelOf(word); level != "" && word != "n" {
			return level
		}
	}
	return ""
}

// share gives each mark to the hands it is for. Where one hand has no marks in
// the whole piece, those of the other hold for both.
func share(marks []loudness) []score.Dynamic {
	sort.SliceStable(marks, func(i, j int) bool { return marks[i].at.Less(marks[j].at) })
	oneHand := !slices.ContainsFunc(marks, loudness.isForLeft) || !slices.ContainsFunc(marks, loudness.isForRight)
	var l levels
	for here := range byPlace(marks, func(m loudness) score.Rat { return m.at }) {
		here = signsFirst(here)
		hand := sharing(here)
		for _, m := range here {
			d := score.Dynamic{At: m.at, Hand: hand(m), Mark: m.level}
			if oneHand {
				d.Hand = score.Both
			}
			if m.step != 0 {
				d.Mark = stepped(l.inForce(d.Hand), m.step)
			}
			if d.Mark != "" {
				l.add(d)
			}
		}
	}
	return l.dynamics
}

// signsFirst leaves out words where a sign stands at the same place: "pp" and
// "sotto voce".
func signsFirst(marks []loudness) []loudness {
	if !slices.ContainsFunc(marks, func(m loudness) bool { return !m.words }) {
		return marks
	}
	return slices.DeleteFunc(slices.Clone(marks), func(m loudness) bool { return m.words })
}

func (m loudness) isForLeft() bool  { return m.between || m.own == score.Left }
func (m loudness) isForRight() bool { return m.between || m.own == score.Right }

// sharing tells which hand each of the marks at one place is for. One between
// the staves is for both, unless another there is for one hand alone: then each
// hand has its own.
func sharing(marks []loudness) func(loudness) score.Hand {
	var some, alone [2]bool // by the hand of the staff; alone: not between the staves
	for _, m := range marks {
		some[m.own] = true
		alone[m.own] = alone[m.own] || !m.between
	}
	return func(m loudness) score.Hand {
		other := 1 - m.own
		switch {
		case !m.between || some[other]:
			return m.own
		case alone[m.own]:
			return other
		}
		return score.Both
	}
}

// levels are the dynamics so far.
type levels struct {
	dynamics    []score.Dynamic
	right, left string // in force
}

// inForce is the mark in force for a hand; of both hands, the right's.
func (l *levels) inForce(h score.Hand) string {
	if h == score.Left {
		return l.left
	}
	return l.right
}

// add takes one more; the same one for the other hand makes it one for both.
func (l *levels) add(d score.Dynamic) {
	if d.Hand != score.Left {
		l.right = d.Mark
	}
	if d.Hand != score.Right {
		l.left = d.Mark
	}
	for i := len(l.dynamics) - 1; i >= 0 && l.dynamics[i].At == d.At; i-- {
		if before := &l.dynamics[i]; before.Mark == d.Mark {
			if before.Hand != d.Hand {
				before.Hand = score.Both
			}
			return
		}
	}
	l.dynamics = append(l.dynamics, d)
}

// ladder is the order of the dynamics.
var ladder = []string{"pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff"}

// stepped is the mark one step up or down, "" where none was in force.
func stepped(mark string, step int) string {
	i := slices.Index(ladder, mark)
	if i < 0 {
		return ""
	}
	return ladder[min(max(i+step, 0), len(ladder)-1)]
}
