package musicxml

import (
	"slices"
	"sort"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// assignHands gives every written note its hand, and tells where each hand was
// read from: the hand of the staff where its voice is at home. Who plays it in the
// end is decided later, by whoever knows hands.
func (r *reader) assignHands(s *score.Score, piano []partView, staves []int) {
	total := r.height
	handAt := func(staff int, middleClef byte) score.Hand { return staffHand(staff, total, middleClef) }
	if total == 1 {
		only := r.onlyHand(piano[0], s.Title)
		handAt = func(int, byte) score.Hand { return only }
	}
	passages := r.passages()
	homes := findHomes(passages, total)
	for _, p := range passages {
		home := homes.of(p)
		for _, w := range p.notes {
			if p.name == "" {
				home = w.Staff // the file names no voices: the staff is all there is
			}
			w.hand = handAt(home, p.middleClef)
		}
	}
	s.HandMarks, s.Clefs = r.handMarks(), r.clefs()
	for i, part := range piano {
		for own := 1; own <= staves[i]; own++ {
			s.Staves = append(s.Staves, score.Staff{Part: part.id, Number: own, Hand: handAt(len(s.Staves)+1, 0)})
		}
	}
	s.Sources = score.HandSources(s.Staves)
}

// onlyHand is the hand that plays a piano of one staff: the one that the title
// or the part's name gives, or else by the clef on which most notes stand.
func (r *reader) onlyHand(part partView, title string) score.Hand {
	hand, low, high := score.Right, 0, 0
	for i := range r.notes {
		if r.notes[i].clef == 'F' {
			low++
		} else {
			high++
		}
	}
	if low > high {
		hand = score.Left
	}
	for _, name := range append(part.names(), title) {
		words := newPhrase(name)
		for i := range words {
			for n := 1; n <= 2 && i+n <= len(words); n++ {
				if named, ok := handNames[strings.Join(words[i:i+n], " ")]; ok {
					hand = named
				}
			}
		}
	}
	r.warner.add(wholeFile, "the part has one staff; it is read as the %s's", hand.Name())
	return hand
}

// staffHand is the hand a staff belongs to: of two the upper is the right hand's.
// With three, the middle one goes by its clef; with more, by its half of the system.
func staffHand(staff, staves int, middleClef byte) score.Hand {
	switch {
	case staves == 1:
		return score.Right
	case staves == 3 && staff == 2 && middleClef == 'F':
		return score.Left
	case 2*staff <= staves+1:
		return score.Right
	}
	return score.Left
}

// handNames are the words for the hands, in Italian, French, English and German.
var handNames = map[string]score.Hand{
	"m d": score.Right, "md": score.Right, "r h": score.Right, "rh": score.Right, "m dr": score.Right,
	"destra": score.Right, "droite": score.Right, "mano destra": score.Right, "main droite": score.Right, "right hand": score.Right, "rechte hand": score.Right, "rechts": score.Right,
	"m s": score.Left, "ms": score.Left, "m g": score.Left, "mg": score.Left, "l h": score.Left, "lh": score.Left, "m sin": score.Left,
	"sinistra": score.Left, "gauche": score.Left, "mano sinistra": score.Left, "main gauche": score.Left, "left hand": score.Left, "linke hand": score.Left, "links": score.Left,
}

// handMarks lists the words and brackets that say which hand plays. Dashes or
// a bracket that begin with a word tell how far it goes. A bracket alone gives
// its notes to a hand where it has a hook at one end only: hooked upwards, as
// the lower left corner of a frame, to the left hand, downwards to the right
// (common practice).
func (r *reader) handMarks() []score.HandMark {
	var marks []score.HandMark
	open := map[handLine]int{} // lines that go on, index into marks
	for _, item := range r.items {
		if item.elem.Tag != "direction" || item.staff < 0 {
			continue
		}
		mark := score.HandMark{At: item.at, To: item.at, Staff: max(1, item.staff), Voice: item.voice}
		hand, named := handOf(item)
		if named {
			mark.Hand, mark.Text = hand, wordsIn(item)
			marks = append(marks, mark)
		}
		for kind := range item.elem.SelectElementsSeq("direction-type") {
			for line := range kind.ChildElementsSeq() {
				if line.Tag != "bracket" && line.Tag != "dashes" {
					continue
				}
				key := handLine{line.Tag, line.SelectAttrValue("number", "1"), mark.Staff}
				i, going := open[key]
				switch line.SelectAttrValue("type", "") {
				case "start":
					if named {
						open[key] = len(marks) - 1
					} else if hand, ok := hooked(line); ok {
						mark.Hand, mark.Text = hand, "bracket"
						open[key] = len(marks)
						marks = append(marks, mark)
					}
				case "stop":
					if going {
						marks[i].To = score.Max(marks[i].At, item.at)
						if _, both := hooked(line); both && marks[i].Text == "bracket" {
							marks[i].Text = "" // a hook at both ends only groups
						}
						delete(open, key)
					}
				}
			}
		}
	}
	marks = slices.DeleteFunc(marks, func(m score.HandMark) bool { return m.Text == "" })
	if len(marks) == 0 {
		return nil
	}
	sort.SliceStable(marks, func(i, j int) bool { return marks[i].At.Less(marks[j].At) })
	return marks
}

// handLine names a line that goes on.
type handLine struct {
	tag, number string
	staff       int
}

// hooked is the hand that the hook of a bracket points out.
func hooked(line *etree.Element) (score.Hand, bool) {
	switch line.SelectAttrValue("line-end", "") {
	case "up":
		return score.Left, true
	case "down":
		return score.Right, true
	}
	return 0, false
}

// handHooks are the corners that editions print in the place of words.
// Common practice.
var handHooks = map[string]score.Hand{"┌": score.Right, "⌈": score.Right, "└": score.Left, "⌊": score.Left}

// handOf is the hand that a direction names with nothing but its words.
func handOf(item placed) (score.Hand, bool) {
	for kind := range item.elem.SelectElementsSeq("direction-type") {
		for words := range kind.SelectElementsSeq("words") {
			if hand, ok := handHooks[text(words)]; ok {
				return hand, true
			}
			phrase := newPhrase(words.Text())
			if n := len(phrase); n > 1 && slices.Contains([]string{"sopra", "sotto", "over", "under", "dessus", "dessous", "oben", "unten"}, phrase[n-1]) {
				phrase = phrase[:n-1]
			}
			if hand, ok := handNames[strings.Join(phrase, " ")]; ok {
				return hand, true
			}
		}
	}
	return 0, false
}

// wordsIn are a direction's words as printed.
func wordsIn(item placed) string {
	var all []string
	for kind := range item.elem.SelectElementsSeq("direction-type") {
		for words := range kind.SelectElementsSeq("words") {
			all = append(all, text(words))
		}
	}
	return strings.Trim(strings.Join(all, " "), "() ")
}

// clefs lists the changes of clef by place; each is in force from its first note on.
func (r *reader) clefs() []score.Clef {
	var all []score.Clef
	last := map[int]byte{}
	for i := range r.notes {
		w := &r.notes[i]
		if sign, known := last[w.Staff]; !known || sign != w.clef {
			last[w.Staff] = w.clef
			all = append(all, score.Clef{At: w.Onset, Staff: w.Staff, Sign: w.clef})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].At.Less(all[j].At) })
	return all
}
