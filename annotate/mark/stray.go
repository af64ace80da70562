package mark

import (
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/annotate/palette"
	"hardbars/score/musicxml"
)

// stray takes out the marks whose announcements another program has dropped:
// words by their signature; the bracket that starts beside such words, and its
// end; and, in a score with such words, the colours of the palette from notes.
// Words that somebody has changed stay, without the signature.
func stray(f *musicxml.File) (removed int) {
	found := 0
	eachBar(f, func(_ string, bar *etree.Element) {
		for dir := range bar.SelectElementsSeq("direction") {
			if wordsOf(dir) != nil {
				found++
			}
		}
	})
	if found == 0 {
		return 0
	}
	open := map[string]map[string]bool{} // by part, the numbers of our brackets
	eachBar(f, func(part string, bar *etree.Element) {
		if open[part] == nil {
			open[part] = map[string]bool{}
		}
		removed += strayDirections(bar, open[part])
		for note := range bar.SelectElementsSeq("note") {
			removed += strayColour(note)
		}
	})
	return removed
}

// wordsOf is the signed words that a direction holds, nil for none.
func wordsOf(dir *etree.Element) *etree.Element {
	for _, kind := range dir.SelectElements("direction-type") {
		for _, words := range kind.SelectElements("words") {
			if strings.ContainsRune(words.Text(), opening) {
				return words
			}
		}
	}
	return nil
}

// strayDirections takes the words and brackets out of a bar.
func strayDirections(bar *etree.Element, open map[string]bool) (removed int) {
	ours := straySymbols(bar)
	for _, dir := range bar.SelectElements("direction") {
		if bracket := soleBracket(dir); bracket != nil {
			number := bracket.SelectAttrValue("number", "1")
			if ours[dir] {
				open[number] = true
			} else if open[number] && bracket.SelectAttrValue("type", "") == "stop" {
				ours[dir] = true
				delete(open, number)
			}
		}
		if ours[dir] {
			takeOut(bar, dir)
			removed++
		}
	}
	return removed
}

// straySymbols finds the directions of a bar with words of ours, and with the
// starts of their brackets: beside the words, or else elsewhere in the bar. It
// takes the signature from words that somebody has changed.
func straySymbols(bar *etree.Element) map[*etree.Element]bool {
	ours := map[*etree.Element]bool{}
	var elsewhere []*etree.Element
	wanted, here := 0, 0 // brackets to be found: in the bar, and up to the next note
	for _, e := range bar.ChildElements() {
		words, bracket := wordsOf(e), soleBracket(e)
		switch {
		case e.Tag != "direction":
			here = 0
		case words != nil:
			plain, unchanged, bracketed := unsigned(words.Text())
			if bracketed {
				wanted, here = wanted+1, here+1
			}
			if ours[e] = unchanged && holdsOnly(e, "words"); !ours[e] {
				words.SetText(plain)
			}
		case bracket == nil || bracket.SelectAttrValue("type", "") != "start":
		case here > 0:
			ours[e] = true
			wanted, here = wanted-1, here-1
		default:
			elsewhere = append(elsewhere, e)
		}
	}
	for _, e := range elsewhere[:min(wanted, len(elsewhere))] {
		ours[e] = true
	}
	return ours
}

// soleBracket is the bracket of a direction that holds nothing else.
func soleBracket(dir *etree.Element) *etree.Element {
	if !holdsOnly(dir, "bracket") {
		return nil
	}
	return dir.FindElement("direction-type/bracket")
}

// holdsOnly reports whether a direction holds one symbol, with this tag, and
// beside it only what says where it stands.
func holdsOnly(dir *etree.Element, tag string) bool {
	symbols := 0
	for child := range dir.ChildElementsSeq() {
		switch child.Tag {
		case "direction-type":
			for symbol := range child.ChildElementsSeq() {
				symbols++
				if symbol.Tag != tag {
					return false
				}
			}
		case "staff", "voice", "offset":
		default:
			return false
		}
	}
	return symbols == 1
}

// takeOut removes an element with the white space before it.
func takeOut(parent, e *etree.Element) {
	at := e.Index()
	parent.RemoveChildAt(at)
	if at > 0 && isSpace(parent.Child[at-1]) {
		parent.RemoveChildAt(at - 1)
	}
}

// strayColour takes a colour of ours from a note, or from its head, where some
// programs put it.
func strayColour(note *etree.Element) (removed int) {
	ours := palette.All()
	for _, e := range []*etree.Element{note, note.SelectElement("notehead")} {
		if e == nil {
			continue
		}
		if attr := colourOf(e); attr != nil && slices.Contains(ours, strings.ToUpper(attr.Value)) {
			e.RemoveAttr("color")
			removed++
		}
	}
	if head := note.SelectElement("notehead"); removed > 0 && head != nil && len(head.Attr) == 0 && strings.TrimSpace(head.Text()) == "normal" {
		takeOut(note, head)
	}
	return min(removed, 1)
}
