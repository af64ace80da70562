package musicxml

import (
	"regexp"
	"slices"
	"sort"
	"strconv"
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

// readDynamics fills in s.Dynamics and s.Swells. A mark that is only an accent,
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
	readSwells(s, all, st)
}

// readDynamicText takes the text of a <dynamics> that names no level: a swell
// such as "cresc.", or an accent, which is kept as a word.
func readDynamicText(s *score.Score, d *direction, sc scope, mark string) {
	if growing, ok := newPhrase(mark).swell(); ok {
		s.Swells = append(s.Swells, score.Swell{From: d.at, To: d.at, Hand: sc.hand(), Growing: growing})
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
	var dynamics []score.Dynamic
	var inForce [score.Both]string // by hand
	for len(marks) > 0 {
		n := 1
		for n < len(marks) && marks[n].at == marks[0].at {
			n++
		}
		here := signsFirst(marks[:n])
		hand := sharing(here)
		for _, m := range here {
			d := score.Dynamic{At: m.at, Hand: hand(m), Mark: m.level}
			if oneHand {
				d.Hand = score.Both
			}
			if m.step != 0 {
				d.Mark = stepped(inForce[d.Hand%score.Both], m.step)
			}
			if d.Mark != "" {
				dynamics = appendDynamic(dynamics, d)
			}
			for _, h := range []score.Hand{score.Right, score.Left} {
				if d.Mark != "" && (d.Hand == h || d.Hand == score.Both) {
					inForce[h] = d.Mark
				}
			}
		}
		marks = marks[n:]
	}
	return dynamics
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
	var any, alone [2]bool // by the hand of the staff; alone: not between the staves
	for _, m := range marks {
		any[m.own] = true
		alone[m.own] = alone[m.own] || !m.between
	}
	return func(m loudness) score.Hand {
		other := 1 - m.own
		switch {
		case !m.between || any[other]:
			return m.own
		case alone[m.own]:
			return other
		}
		return score.Both
	}
}

// appendDynamic adds a mark; the same one for the other hand makes it one for both.
func appendDynamic(dynamics []score.Dynamic, d score.Dynamic) []score.Dynamic {
	for i := len(dynamics) - 1; i >= 0 && dynamics[i].At == d.At; i-- {
		if dynamics[i].Mark == d.Mark {
			if dynamics[i].Hand != d.Hand {
				dynamics[i].Hand = score.Both
			}
			return dynamics
		}
	}
	return append(dynamics, d)
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

// lineKey tells hairpins, and dashes, apart that are open at the same time.
type lineKey struct{ tag, staff, number string }

func (d *direction) lineKey(sign *etree.Element) lineKey {
	return lineKey{sign.Tag, strconv.Itoa(d.staff), sign.SelectAttrValue("number", "1")}
}

// readSwells adds hairpins and swells in words to s.Swells. At one place the
// lines that end come before those that begin, whatever the file's order.
func readSwells(s *score.Score, all []*direction, st staves) {
	open := map[lineKey][]int{} // indices into s.Swells
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].at == all[0].at {
			n++
		}
		for _, d := range all[:n] {
			d.endSwells(s, open)
		}
		for _, d := range all[:n] {
			d.beginSwells(s, open, st)
		}
		all = all[n:]
	}
	sort.SliceStable(s.Swells, func(i, j int) bool { return s.Swells[i].From.Less(s.Swells[j].From) })
}

// endSwells ends the line that was begun last. Some writers use one number for
// all lines and let them overlap: then the earlier has ended where the later began.
func (d *direction) endSwells(s *score.Score, open map[lineKey][]int) {
	for _, sign := range d.signs {
		if sign.Tag != "wedge" && sign.Tag != "dashes" || sign.SelectAttrValue("type", "") != "stop" {
			continue
		}
		key := d.lineKey(sign)
		for staff := 0; len(open[key]) == 0 && staff <= maxStaves; staff++ { // some end it on another staff
			key.staff = strconv.Itoa(staff)
		}
		if lines := open[key]; len(lines) > 0 {
			last := len(lines) - 1
			endSwell(&s.Swells[lines[last]], d.at)
			open[key] = lines[:last]
		}
	}
}

// endSwell ends a swell that has no end yet.
func endSwell(swell *score.Swell, at score.Rat) {
	if swell.To == swell.From {
		swell.To = at
	}
}

// beginSwells also lets dashes continue the word at the same place.
func (d *direction) beginSwells(s *score.Score, open map[lineKey][]int, st staves) {
	if growing, ok := d.phrase.swell(); ok {
		d.read = true
		s.Swells = append(s.Swells, score.Swell{From: d.at, To: d.at, Hand: st.wordScope(d).hand(), Growing: growing})
	}
	for _, sign := range d.signs {
		switch kind := sign.SelectAttrValue("type", ""); {
		case sign.Tag == "wedge" && (kind == "crescendo" || kind == "diminuendo"):
			key := d.lineKey(sign)
			if lines := open[key]; len(lines) > 0 {
				endSwell(&s.Swells[lines[len(lines)-1]], d.at)
			}
			open[key] = append(open[key], len(s.Swells))
			s.Swells = append(s.Swells, score.Swell{From: d.at, To: d.at, Hand: st.scope(d, sign).hand(), Growing: kind == "crescendo"})
		case sign.Tag == "dashes" && kind == "start":
			if last := len(s.Swells) - 1; last >= 0 && s.Swells[last].From == d.at {
				key := d.lineKey(sign)
				open[key] = append(open[key], last)
			}
		}
	}
}

// swell reads words that name a gradual change of loudness.
func (p phrase) swell() (growing, ok bool) {
	switch {
	case p.stem("decresc", "dimin", "smorz", "perden", "mancan") || slices.ContainsFunc(p, func(word string) bool {
		return slices.Contains([]string{"dim", "morendo", "calando", "estinguendo", "decr"}, word)
	}) || p.says("en diminuant", "al niente", "sempre piu p", "sempre piu piano"):
		return false, true
	case p.stem("cresc") || p.says("cre", "cres", "en augmentant", "augmentez", "sempre piu f", "sempre piu forte"):
		return true, true
	}
	return false, false
}
