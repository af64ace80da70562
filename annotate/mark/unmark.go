package mark

import (
	"github.com/beevik/etree"

	"hardbars/score/musicxml"
)

// Unmark takes the marks out of a score and leaves what it was before they
// came, token for token. It returns how many directions it took out and notes
// it gave their colour back. A mark that has been changed since it was written
// stays, as the score's own; only its announcement goes. Marks that another
// program has saved without their announcements go as well.
func Unmark(f *musicxml.File) (removed int) {
	eachBar(f, func(_ string, bar *etree.Element) {
		removed += strip(bar, undoDirection)
		for note := range bar.SelectElementsSeq("note") {
			removed += strip(note, undoColour)
		}
	})
	removed += stray(f)
	unseal(f.Doc)
	return removed
}

// unseal takes out what hardbars wrote after the score itself: the seal by
// which a file is known as just written.
func unseal(doc *etree.Document) {
	for i := len(doc.Child) - 1; i >= 0; i-- {
		if inst, ok := doc.Child[i].(*etree.ProcInst); ok && inst.Target == target {
			doc.RemoveChildAt(i)
		}
	}
}

// strip takes every announcement out of e, with the white space that was put
// in before it and whatever tokens after it undo says belong to it. It returns
// how many marks were undone.
func strip(e *etree.Element, undo func(e *etree.Element, token int, name string) (tokens int, undone bool)) (removed int) {
	var kept []etree.Token
	for i := 0; i < len(e.Child); i++ {
		name, ok := announced(e.Child[i])
		if !ok {
			if kept != nil {
				kept = append(kept, e.Child[i])
			}
			continue
		}
		if kept == nil { // the first one: until here nothing has changed
			kept = append(make([]etree.Token, 0, len(e.Child)), e.Child[:i]...)
		}
		tokens, undone := undo(e, i, name)
		if undone {
			removed++
		}
		for len(kept) > 0 && isSpace(kept[len(kept)-1]) {
			kept = kept[:len(kept)-1]
		}
		i += tokens
	}
	if kept != nil {
		e.Child = kept
		e.ReindexChildren()
	}
	return removed
}

// undoDirection counts the tokens of a bar from an announcement to the end of
// the direction that it announces: white space and the direction.
func undoDirection(bar *etree.Element, token int, name string) (tokens int, undone bool) {
	for i := token + 1; i < len(bar.Child); i++ {
		if isSpace(bar.Child[i]) {
			continue
		}
		if dir, ok := bar.Child[i].(*etree.Element); ok && isMark(dir, name) {
			return i - token, true
		}
		break
	}
	return 0, false
}

// isMark reports whether a direction holds the announced symbol and nothing else
// of its own.
func isMark(dir *etree.Element, name string) bool {
	if dir.Tag != "direction" {
		return false
	}
	symbols := 0
	for child := range dir.ChildElementsSeq() {
		switch child.Tag {
		case "direction-type":
			for symbol := range child.ChildElementsSeq() {
				symbols++
				if symbolName(symbol) != name {
					return false
				}
			}
		case "staff", "voice":
		default:
			return false
		}
	}
	return symbols == 1
}

// undoColour gives a note the colour back that it had.
func undoColour(note *etree.Element, _ int, name string) (tokens int, undone bool) {
	colour, had, ok := parseColour(name)
	attr := colourOf(note)
	if !ok || attr == nil || attr.Value != colour {
		return 0, false
	}
	if had == nil {
		note.RemoveAttr("color")
	} else {
		attr.Value = *had
	}
	return 0, true
}
