package mark

import (
	"net/url"
	"strings"

	"github.com/beevik/etree"
)

// target is the name of the processing instructions that announce marks.
const target = "hardbars"

// announce puts a processing instruction into e before the child that has the
// number token, after a line break where the score has them.
func announce(e *etree.Element, token int, lineBreak, name string) {
	e.InsertChildAt(token, etree.NewProcInst(target, name))
	insertSpace(e, token, lineBreak)
}

// announced is what a token announces; false when it is not one of ours.
func announced(t etree.Token) (name string, ok bool) {
	p, ok := t.(*etree.ProcInst)
	if !ok || p.Target != target {
		return "", false
	}
	switch kind, _, _ := strings.Cut(p.Inst, " "); kind {
	case "words", "bracket", "color":
		return p.Inst, true
	}
	return "", false
}

// symbolName announces a <words> or <bracket>. It says enough to know the
// symbol again, so that one that somebody has made their own is left alone.
func symbolName(symbol *etree.Element) string {
	if symbol.Tag == "words" {
		plain, _, _ := unsigned(symbol.Text())
		text := strings.Join(strings.Fields(plain), " ")
		return "words " + strings.ReplaceAll(text, "?>", "? >")
	}
	return symbol.Tag + " " + symbol.SelectAttrValue("type", "") + " " + symbol.SelectAttrValue("number", "")
}

// parseColour reads what announces a colour, and the colour that the note had
// before, which earlier versions replaced; nil where it said none.
func parseColour(name string) (colour string, had *string, ok bool) {
	words := strings.Fields(name)
	switch {
	case len(words) == 2:
		return words[1], nil, true
	case len(words) == 3 && words[2] == "was":
		return words[1], new(string), true
	case len(words) == 4 && words[2] == "was":
		old, err := url.QueryUnescape(words[3])
		return words[1], &old, err == nil
	}
	return "", nil, false
}
