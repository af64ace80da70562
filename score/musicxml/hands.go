package musicxml

import (
	"fmt"
	"sort"
	"strings"

	"hardbars/score"
)

// assignHands gives every written note its hand, and tells where each hand was
// read from. The staff decides; but a voice that crosses the staves stays with the
// hand it belongs to, and a word such as "m.s." overrides both.
func (r *reader) assignHands(piano []partView, staves []int, title string) [2]string {
	total := r.height
	handAt := func(staff int, middleClef byte) score.Hand { return staffHand(staff, total, middleClef) }
	if total == 1 {
		only := r.onlyHand(piano[0], title)
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
	r.applyHandWords()
	return handSources(piano, staves, handAt)
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

// handSources names the staves of each hand: "staff 1 of part P1".
func handSources(piano []partView, staves []int, handAt func(staff int, middleClef byte) score.Hand) (names [2]string) {
	var list [2][]string
	staff := 0
	for i, part := range piano {
		for own := 1; own <= staves[i]; own++ {
			staff++
			hand := handAt(staff, 0)
			list[hand] = append(list[hand], fmt.Sprintf("staff %d of part %s", own, part.id))
		}
	}
	for hand := range list {
		names[hand] = strings.Join(list[hand], " and ")
	}
	return names
}

// handWord is a word that says which hand plays what follows.
type handWord struct {
	hand  score.Hand
	from  score.Rat
	voice string // whose notes it holds for; "" for all of the staff
	found bool   // that voice has notes where the word holds
}

// handNames are the words for the hands, in Italian, French, English and German.
var handNames = map[string]score.Hand{
	"m d": score.Right, "md": score.Right, "r h": score.Right, "rh": score.Right, "m dr": score.Right,
	"destra": score.Right, "droite": score.Right, "mano destra": score.Right, "main droite": score.Right, "right hand": score.Right, "rechte hand": score.Right, "rechts": score.Right,
	"m s": score.Left, "ms": score.Left, "m g": score.Left, "mg": score.Left, "l h": score.Left, "lh": score.Left, "m sin": score.Left,
	"sinistra": score.Left, "gauche": score.Left, "mano sinistra": score.Left, "main gauche": score.Left, "left hand": score.Left, "linke hand": score.Left, "links": score.Left,
}

// applyHandWords lets each such word take its staff, or the voice that it names,
// up to the next such word on that staff or to the end of the bar. Where the voice
// has no notes there, the word is the staff's.
func (r *reader) applyHandWords() {
	words := r.handWords()
	if len(words) == 0 {
		return
	}
	for i := range r.notes {
		w := &r.notes[i]
		if word := words.at(w); word != nil && word.voice == w.Voice {
			word.found = true
		}
	}
	for i := range r.notes {
		w := &r.notes[i]
		if word := words.at(w); word != nil && (!word.found || word.voice == w.Voice) {
			w.hand = word.hand
		}
	}
}

// handWords holds the words by bar and staff, in order of place.
type handWords map[staffInBar][]handWord

func (r *reader) handWords() handWords {
	words := handWords{}
	for _, item := range r.items {
		if hand, ok := handOf(item); ok {
			place := staffInBar{item.bar, max(1, item.staff)}
			words[place] = append(words[place], handWord{hand: hand, from: item.at, voice: item.voice})
		}
	}
	for _, list := range words {
		sort.SliceStable(list, func(i, j int) bool { return list[i].from.Less(list[j].from) })
	}
	return words
}

// at is the word in force where a note stands; nil for none.
func (words handWords) at(w *pageNote) *handWord {
	list := words[staffInBar{w.Bar, w.Staff}]
	n := sort.Search(len(list), func(i int) bool { return w.Onset.Less(list[i].from) })
	if n == 0 {
		return nil
	}
	return &list[n-1]
}

// handOf is the hand that a direction names with nothing but its words.
func handOf(item placed) (score.Hand, bool) {
	if item.elem.Tag != "direction" || item.staff < 0 {
		return 0, false
	}
	for kind := range item.elem.SelectElementsSeq("direction-type") {
		for words := range kind.SelectElementsSeq("words") {
			if hand, ok := handNames[strings.Join(newPhrase(words.Text()), " ")]; ok {
				return hand, true
			}
		}
	}
	return 0, false
}
