package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// How a piano part is named, as the beginning of a word: the usual languages
// of published scores and of notation programs. Common practice.
var pianoStems = []string{
	"piano", "fortepian", "klavier", "hammerklavier", "clavier", "klaver", "klavír", "zongora",
	"фортепиано", "рояль", "пианино", "ピアノ", "钢琴", "鋼琴", "피아노",
}

// Short names of a piano part, as whole words. Common practice.
var pianoWords = []string{"pf", "pfte", "pft", "pno", "klav", "flügel"}

// Names that a part for another instrument or a voice begins with. Other
// keyboards are not here: a pianist plays from their scores. Common practice.
var otherStems = []string{
	"violin", "violon", "viola", "bratsche", "geige", "cello", "contrabass", "kontrabass", "contrebass", "string", "streich",
	"flute", "flûte", "flauto", "flöte", "piccolo", "recorder", "blockflöte", "oboe", "hautbois", "clarinet", "klarinette",
	"bassoon", "basson", "fagott", "sax", "horn", "corno", "trumpet", "tromb", "trompet", "posaune", "tuba",
	"guitar", "gitarre", "guitare", "chitarra", "laute", "banjo", "mandolin", "ukulele", "harfe", "accord", "akkord", "organ", "orgel", "orgue",
	"voice", "vocal", "voce", "voix", "gesang", "singstimme", "soprano", "sopran", "mezzo", "alto", "contralto", "tenor", "bariton",
	"choir", "chorus", "choeur", "coro", "drum", "percussion", "schlagzeug", "timpani", "pauken", "xylophon", "vibraphon", "marimba", "glocken",
}

// Names of other instruments that would be the beginning of too much else.
var otherWords = []string{"harp", "harps", "harpe", "arpa", "cor", "alt", "chor", "fl", "ob", "cl", "fg", "hn", "tpt", "vl", "vln", "vla", "vc"}

// pianoParts returns the piano: one part, or two one-staff parts, the upper
// first. The player may want a part by its id or name; otherwise it is the one
// whose name or sound is a piano's, then the one with two staves, then what no
// other instrument claims. Of several that could be the piano the first is
// taken and said; only where there is none does the error list the parts.
func (f *File) pianoParts(want string) ([]partView, error) {
	parts := f.parts()
	if len(parts) == 0 {
		return nil, fmt.Errorf("%s: the score has no parts, so there is nothing to read; export it again", f.Name)
	}
	chosen, err := choose(parts, want)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	for _, p := range chosen {
		if len(p.measures) == 0 {
			return nil, fmt.Errorf("%s: part %s has no bars; export the score again", f.Name, p)
		}
	}
	return chosen, nil
}

func choose(parts []partView, want string) ([]partView, error) {
	if want != "" {
		return wanted(parts, want)
	}
	if named := filter(parts, partView.isPiano); len(named) > 0 {
		if chosen := settle(withNeighbour(named, parts)); chosen != nil {
			return chosen, nil
		}
		return firstPiano(named, "more than one part is a piano"), nil
	}
	if grand := filter(parts, partView.isGrand); len(grand) > 0 {
		if grand = likeliest(grand); len(grand) > 1 {
			return firstPiano(grand, "no part is called a piano and more than one has two staves"), nil
		}
		return assume(grand, notCalled, "it has two staves"), nil
	}
	return fromSingleStaves(parts)
}

const notCalled = "no part is called a piano"

// withNeighbour adds to a piano of one staff the other part of a score for two,
// where nothing says that it is anything else: its other hand.
func withNeighbour(named, parts []partView) []partView {
	if len(named) != 1 || len(parts) != 2 || named[0].isGrand() {
		return named
	}
	for _, p := range parts {
		if p.id != named[0].id && (p.isGrand() || p.isOther() || slices.ContainsFunc(p.names(), func(name string) bool { return name != "" })) {
			return named
		}
	}
	return parts
}

// firstPiano takes the first of several pianos: the first with two staves, or else
// the first two parts.
func firstPiano(parts []partView, problem string) []partView {
	if grand := filter(parts, partView.isGrand); len(grand) > 0 {
		return assume(grand[:1], problem, "it comes first (choose another with --part)")
	}
	return assume(inOrder(parts[:2]), problem, "they come first (choose others with --part)")
}

// fromSingleStaves takes the parts that no other instrument claims, where each
// part has one staff: two of them, or the only one there is.
func fromSingleStaves(parts []partView) ([]partView, error) {
	free := filter(parts, func(p partView) bool { return !p.isOther() })
	switch {
	case len(free) == 2 && free[0].clef() != free[1].clef():
		return assume(inOrder(free), notCalled, "they stand in treble and bass"), nil
	case len(free) == 2:
		return assume(free, notCalled, "they are two hands of one staff each"), nil
	case len(free) == 1 && len(parts) == 1:
		return assume(free, notCalled, "it is the only one"), nil
	case len(free) == 1:
		return assume(free, notCalled, "it is the only one that is no other instrument's"), nil
	}
	return nil, chooseOne("no part is a piano", parts)
}

// inOrder puts a treble part above a bass part.
func inOrder(pair []partView) []partView {
	if pair[0].clef() == "F" && pair[1].clef() == "G" {
		return []partView{pair[1], pair[0]}
	}
	return pair
}

// wanted finds the part that the player named, or two of them: "P1,P2".
func wanted(parts []partView, want string) ([]partView, error) {
	found := called(parts, want)
	if chosen := settle(found); chosen != nil {
		return chosen, nil
	}
	if len(found) > 1 {
		return nil, chooseOne(fmt.Sprintf("more than one part is called %q", want), found)
	}
	upper, lower, two := strings.Cut(want, ",")
	if two {
		pair := append(called(parts, upper), called(parts, lower)...)
		if len(pair) == 2 && !pair[0].isGrand() && !pair[1].isGrand() {
			return pair, nil
		}
		return nil, chooseOne(fmt.Sprintf("%q does not name two parts of one staff each", want), parts)
	}
	return nil, chooseOne(fmt.Sprintf("there is no part %q", want), parts)
}

// called finds parts by id, or else by name, in any case of letters.
func called(parts []partView, want string) []partView {
	want = strings.Join(strings.Fields(want), " ")
	if found := filter(parts, func(p partView) bool { return p.id == want }); len(found) > 0 {
		return found[:1]
	}
	return filter(parts, func(p partView) bool {
		return strings.EqualFold(p.id, want) || slices.ContainsFunc(p.names(), func(name string) bool { return strings.EqualFold(name, want) })
	})
}

// settle makes one piano of parts that are all called so, or returns nil.
func settle(parts []partView) []partView {
	if len(parts) == 1 {
		return parts
	}
	grand := filter(parts, partView.isGrand)
	switch {
	case len(grand) == 1:
		return grand
	case len(grand) > 0 || len(parts) != 2:
		return nil
	}
	return inOrder(parts)
}

// likeliest narrows parts with two staves down to keyboards, and to those with
// a piano's MIDI program, as far as any are left.
func likeliest(parts []partView) []partView {
	for _, is := range []func(partView) bool{
		func(p partView) bool { return !p.isOther() },
		partView.hasPianoProgram,
	} {
		if some := filter(parts, is); len(some) > 0 {
			parts = some
		}
	}
	return parts
}

// assume notes on the first part why the parts were taken for the piano.
func assume(parts []partView, problem, why string) []partView {
	subject := "part " + parts[0].String() + " was"
	if len(parts) == 2 {
		subject = "parts " + parts[0].String() + " and " + parts[1].String() + " were"
	}
	parts[0].assumed = fmt.Sprintf("%s; %s read because %s", problem, subject, why)
	return parts
}

// chooseOne is the error that lists the parts to choose from.
func chooseOne(problem string, parts []partView) error {
	const most = 20
	var list []string
	for i, p := range parts {
		if i == most {
			list = append(list, fmt.Sprintf("and %d more", len(parts)-most))
			break
		}
		list = append(list, p.String())
	}
	return fmt.Errorf("%s; choose with --part: %s", problem, strings.Join(list, ", "))
}

// String is the part's id and name: "P1 (Violin)".
func (p partView) String() string {
	if p.name == "" {
		return p.id + " (no name)"
	}
	return p.id + " (" + p.name + ")"
}

// isPiano tells by the part's own name; where that says nothing, by its sound;
// and where there is none, by its instrument's and its group's name.
func (p partView) isPiano() bool {
	names, sounds := p.names(), p.instruments("instrument-sound")
	switch {
	case slices.ContainsFunc(names, saysPiano):
		return true
	case slices.ContainsFunc(names, saysOther):
		return false
	case len(sounds) > 0:
		return slices.ContainsFunc(sounds, func(s string) bool { return strings.HasPrefix(s, "keyboard.piano") })
	}
	return slices.ContainsFunc(p.instruments("instrument-name"), saysPiano) || slices.ContainsFunc(p.groups, saysPiano)
}

// isOther reports whether the part is named as, or sounds like, no keyboard.
func (p partView) isOther() bool {
	notKeyboard := func(s string) bool { return !strings.HasPrefix(s, "keyboard.") }
	return slices.ContainsFunc(p.names(), saysOther) ||
		slices.ContainsFunc(p.instruments("instrument-name"), saysOther) ||
		slices.ContainsFunc(p.instruments("instrument-sound"), notKeyboard)
}

// isGrand reports whether the part has two staves or more, be they declared or
// only used.
func (p partView) isGrand() bool {
	for _, m := range p.measures {
		for e := range m.content.NotNil().ChildElementsSeq() {
			switch e.Tag {
			case "attributes":
				if n := childText(e, "staves"); n != "" && n != "1" {
					return true
				}
			case "note":
				if n := childText(e, "staff"); n != "" && n != "1" {
					return true
				}
			}
		}
	}
	return false
}

// clef is the sign of the part's first clef, "G" or "F" as a rule; "" for none.
func (p partView) clef() string {
	for _, m := range p.measures {
		for a := range m.content.NotNil().SelectElementsSeq("attributes") {
			if c := a.SelectElement("clef"); c != nil {
				return childText(c, "sign")
			}
		}
	}
	return ""
}

// hasPianoProgram reports whether a MIDI program is one of the pianos, which are
// 1 to 8 in General MIDI.
func (p partView) hasPianoProgram() bool {
	for i := range p.info.NotNil().SelectElementsSeq("midi-instrument") {
		if n := childText(i, "midi-program"); len(n) == 1 && "1" <= n && n <= "8" {
			return true
		}
	}
	return false
}

// names are the part's own: in full, as displayed, and abbreviated.
func (p partView) names() []string {
	var names []string
	for e := range p.info.NotNil().ChildElementsSeq() {
		switch e.Tag {
		case "part-name", "part-abbreviation":
			names = append(names, text(e))
		case "part-name-display", "part-abbreviation-display":
			names = append(names, childText(e, "display-text"))
		}
	}
	return names
}

// instruments are what the part's instruments say under one tag.
func (p partView) instruments(tag string) []string {
	var all []string
	for i := range p.info.NotNil().SelectElementsSeq("score-instrument") {
		if s := childText(i, tag); s != "" {
			all = append(all, s)
		}
	}
	return all
}

func saysPiano(name string) bool { return says(name, pianoStems, pianoWords) }

func saysOther(name string) bool { return says(name, otherStems, otherWords) }

// says reports whether a word of the name is one of words or begins with one of stems.
func says(name string, stems, words []string) bool {
	notLetter := func(r rune) bool { return !unicode.IsLetter(r) }
	return slices.ContainsFunc(strings.FieldsFunc(strings.ToLower(name), notLetter), func(word string) bool {
		begins := func(stem string) bool { return strings.HasPrefix(word, stem) }
		return slices.Contains(words, word) || slices.ContainsFunc(stems, begins)
	})
}

func filter(parts []partView, is func(partView) bool) []partView {
	var some []partView
	for _, p := range parts {
		if is(p) {
			some = append(some, p)
		}
	}
	return some
}
