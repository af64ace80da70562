package mark

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/beevik/etree"

	"hardbars/score"
)

// drawing is what the marks of one hot spot have in common.
type drawing struct {
	placement string // "above" or "below"
	staff     string // content of <staff>; "" for none
	colour    string // "" for the printer's own
	strong    bool   // heavier words and lines
	bracketed bool   // a bracket starts with the words
}

// placement is the side of its staff on which a hand's marks stand.
func placement(h score.Hand) string {
	if h == score.Left {
		return "below"
	}
	return "above"
}

// fontSize of the words in points: small beside the score's own words, which
// are set in 10 to 12 (common practice).
const fontSize = "8"

func (d drawing) words(at anchor, other place, text string) mark {
	return d.text(at, other, "normal", text)
}

// remark sets somebody's own words apart from ours by italics.
func (d drawing) remark(at anchor, text string) mark {
	return d.text(at, at.place, "italic", text)
}

func (d drawing) text(at anchor, other place, style, text string) mark {
	words := etree.NewElement("words")
	words.CreateAttr("font-style", style)
	words.CreateAttr("font-size", fontSize)
	if d.strong {
		words.CreateAttr("font-weight", "bold")
	}
	words.SetText(signed(inLines(text), d.bracketed))
	return d.mark(at, other, words)
}

// lineLength is the longest line of words, in characters: at their size no
// longer than a wide bar. Common practice.
const lineLength = 44

// inLines breaks a text between words.
func inLines(text string) string {
	var b strings.Builder
	column := 0
	for i, word := range strings.Fields(text) {
		length := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case column+1+length > lineLength:
			b.WriteByte('\n')
			column = 0
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += length
	}
	return b.String()
}

// bracket is the "start" or "stop" of a bracket whose ends point to the staff.
func (d drawing) bracket(at anchor, other place, end string, number int) mark {
	hook, line := "down", "dashed"
	if d.strong {
		line = "solid"
	}
	if d.placement == "below" {
		hook = "up"
	}
	bracket := etree.NewElement("bracket")
	bracket.CreateAttr("type", end)
	bracket.CreateAttr("number", strconv.Itoa(number))
	bracket.CreateAttr("line-end", hook)
	bracket.CreateAttr("line-type", line) // solid is the default, but some engravers draw no line without it
	return d.mark(at, other, bracket)
}

// mark puts a symbol into a direction that is laid out as the note beside it
// is, a <direction-type> as its <pitch>. All that it uses is in MusicXML 1.0
// already: the schema of 3.0 names no later version for any of it, 1.0 itself
// from memory.
func (d drawing) mark(at anchor, other place, symbol *etree.Element) mark {
	if d.colour != "" {
		symbol.CreateAttr("color", d.colour)
	}
	dir := etree.NewElement("direction")
	dir.CreateAttr("placement", d.placement)
	kind := dir.CreateElement("direction-type")
	kind.AddChild(symbol)
	if d.staff != "" {
		dir.CreateElement("staff").SetText(d.staff)
	}
	layOut(kind, at.note.SelectElement("pitch"))
	layOut(dir, at.note)
	return mark{at, other, dir, symbolName(symbol)}
}

// layOut puts the line breaks between the children of e that stand between
// those of model; none where e has no model.
func layOut(e, model *etree.Element) {
	if model == nil {
		return
	}
	inner := breakBefore(model, firstChild(model))
	for i := len(e.Child) - 1; i >= 0; i-- {
		insertSpace(e, i, inner)
	}
	insertSpace(e, len(e.Child), breakBefore(model, len(model.Child)))
}

// firstChild is the token number of an element's first child element.
func firstChild(e *etree.Element) int {
	for i, t := range e.Child {
		if _, ok := t.(*etree.Element); ok {
			return i
		}
	}
	return 0
}

// breakBefore is the line break and the indent before a child of e; "" where
// it stands on the line of what comes before it.
func breakBefore(e *etree.Element, token int) string {
	if token == 0 {
		return ""
	}
	if !isSpace(e.Child[token-1]) {
		return ""
	}
	text := e.Child[token-1].(*etree.CharData).Data
	return text[max(0, strings.LastIndexByte(text, '\n')):]
}

// insertSpace puts white space into e; nothing when there is none.
func insertSpace(e *etree.Element, token int, space string) {
	if space != "" {
		text := etree.NewText("")
		text.SetData(space) // which also tells the token that it is white space
		e.InsertChildAt(token, text)
	}
}

func isSpace(t etree.Token) bool {
	text, ok := t.(*etree.CharData)
	return ok && text.IsWhitespace()
}
