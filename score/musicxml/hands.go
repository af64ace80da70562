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
func (r *reader) assignHands(bars []score.Bar, piano []partView, staves []int) [2]string {
	total := 0
	for _, n := range staves {
		total += n
	}
	homes := findHomes(r.passages())
	for _, p := range homes.passages {
		home := homes.of(p)
		for _, w := range p.notes {
			w.hand = staffHand(home, total, p.clef(home))
		}
	}
	r.applyHandWords(bars)
	return handSources(piano, staves, total)
}

// staffHand is the hand a staff belongs to: of two the upper is the right hand's.
// With three, the middle one goes by its clef; with more, by its half of the system.
func staffHand(staff, staves int, clef byte) score.Hand {
	switch {
	case staves == 1:
		return score.Right
	case staves == 3 && staff == 2 && clef == 'F':
		return score.Left
	case 2*staff <= staves+1:
		return score.Right
	}
	return score.Left
}

// handSources names the staves of each hand: "staff 1 of part P1".
func handSources(piano []partView, staves []int, total int) (names [2]string) {
	var list [2][]string
	staff := 0
	for i, part := range piano {
		for own := 1; own <= staves[i]; own++ {
			staff++
			hand := staffHand(staff, total, 0)
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
	hand     score.Hand
	bar      int
	from, to score.Rat
	staff    int
	voice    string // "" where it holds for the whole staff
}

// handNames are the words for the hands, in Italian, French, English and German.
var handNames = map[string]score.Hand{
	"m d": score.Right, "md": score.Right, "r h": score.Right, "rh": score.Right, "m dr": score.Right,
	"destra": score.Right, "droite": score.Right, "mano destra": score.Right, "main droite": score.Right, "right hand": score.Right, "rechte hand": score.Right, "rechts": score.Right,
	"m s": score.Left, "ms": score.Left, "m g": score.Left, "mg": score.Left, "l h": score.Left, "lh": score.Left, "m sin": score.Left,
	"sinistra": score.Left, "gauche": score.Left, "mano sinistra": score.Left, "main gauche": score.Left, "left hand": score.Left, "linke hand": score.Left, "links": score.Left,
}

// applyHandWords lets each such word take its staff, or the voice that it names,
// up to the next such word on that staff or to the end of the bar.
func (r *reader) applyHandWords(bars []score.Bar) {
	for _, word := range r.handWords(bars) {
		if word.voice != "" && r.give(word) == 0 {
			word.voice = "" // the voice is not there, so the word is the staff's
		}
		if word.voice == "" {
			r.give(word)
		}
	}
}

// give lets the word's hand play what it holds for, and counts those notes.
func (r *reader) give(word handWord) (count int) {
	for i := range r.notes {
		w := &r.notes[i]
		if w.Bar == word.bar && w.Staff == word.staff && (word.voice == "" || word.voice == w.Voice) &&
			word.from.Cmp(w.Onset) <= 0 && w.Onset.Less(word.to) {
			w.hand = word.hand
			count++
		}
	}
	return count
}

// handWords lists the words by place. Each ends the one before it on its staff.
func (r *reader) handWords(bars []score.Bar) []handWord {
	var words []handWord
	for _, item := range r.items {
		if hand, ok := handOf(item); ok {
			words = append(words, handWord{hand, item.bar, item.at, bars[item.bar].End(), max(1, item.staff), item.voice})
		}
	}
	sort.SliceStable(words, func(i, j int) bool { return words[i].from.Less(words[j].from) })
	for i := range words {
		for j := range words[:i] {
			if before := &words[j]; before.bar == words[i].bar && before.staff == words[i].staff {
				before.to = score.Min(before.to, words[i].from)
			}
		}
	}
	return words
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
