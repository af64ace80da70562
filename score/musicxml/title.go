package musicxml

import (
	"strings"

	"github.com/beevik/etree"
)

// title is the movement's title, or the work's, or what is printed largest at
// the head of the first page.
func title(root *etree.Element) string {
	for _, path := range [][]string{{"movement-title"}, {"work", "work-title"}} {
		elem := root
		for _, tag := range path {
			elem = elem.SelectElement(tag).NotNil()
		}
		if text := clean(elem.Text()); text != "" {
			return text
		}
	}
	return ""
}

func composer(root *etree.Element) string {
	for _, c := range root.SelectElement("identification").NotNil().SelectElements("creator") {
		if c.SelectAttrValue("type", "composer") == "composer" {
			if text := clean(c.Text()); text != "" {
				return text
			}
		}
	}
	return ""
}

// clean joins the words of a text with single spaces.
func clean(text string) string { return strings.Join(strings.Fields(text), " ") }
