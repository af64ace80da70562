package musicxml

import (
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// title is the movement's title, or the work's, or else what is printed as the
// title or in the largest letters on the first page.
func title(root *etree.Element) string {
	if t := childText(root, "movement-title"); t != "" {
		return t
	}
	if t := childText(root.SelectElement("work").NotNil(), "work-title"); t != "" {
		return t
	}
	credits := firstPage(root)
	if c := printedAs(credits, "title"); c != nil {
		return c.text
	}
	var largest credit
	for _, c := range credits {
		if largest.size.Less(c.size) {
			largest = c
		}
	}
	return largest.text
}

// composer is the creator named as the composer, or named as nothing else, or
// else what is printed as the composer, or flush right, on the first page.
func composer(root *etree.Element) string {
	for creator := range root.SelectElement("identification").NotNil().SelectElementsSeq("creator") {
		if creator.SelectAttrValue("type", "composer") == "composer" && text(creator) != "" {
			return text(creator)
		}
	}
	credits := firstPage(root)
	if c := printedAs(credits, "composer"); c != nil {
		return c.text
	}
	for _, c := range credits {
		if c.flushRight {
			return c.text
		}
	}
	return ""
}

// credit is a text on the page outside the music.
type credit struct {
	kind       string // "title", "composer", "" where the file does not say
	text       string
	size       score.Rat // of the letters, in points
	flushRight bool
}

// firstPage lists the texts of the first page. One text may come in several
// pieces where its letters change.
func firstPage(root *etree.Element) []credit {
	var credits []credit
	for elem := range root.SelectElementsSeq("credit") {
		if elem.SelectAttrValue("page", "1") != "1" {
			continue
		}
		c := credit{kind: childText(elem, "credit-type")}
		var pieces strings.Builder
		for words := range elem.SelectElementsSeq("credit-words") {
			pieces.WriteString(words.Text())
			if size, ok := number(words.SelectAttrValue("font-size", "")); ok && c.size.Less(size) {
				c.size = size
			}
			c.flushRight = c.flushRight || words.SelectAttrValue("justify", "") == "right"
		}
		c.text = strings.Join(strings.Fields(pieces.String()), " ")
		if c.text != "" {
			credits = append(credits, c)
		}
	}
	return credits
}

func printedAs(credits []credit, kind string) *credit {
	for i := range credits {
		if credits[i].kind == kind {
			return &credits[i]
		}
	}
	return nil
}
