package musicxml

import (
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// title is the movement's title, or the work's, or else what is printed as the
// title or in the largest letters on the first page, or else the file's name.
func (f *File) title() string {
	root := f.Doc.Root()
	for _, t := range []string{childText(root, "movement-title"), childText(root.SelectElement("work").NotNil(), "work-title")} {
		if isName(t) {
			return t
		}
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
	if largest.text != "" {
		return largest.text
	}
	return nameOfFile(f.Name)
}

// composer is the creator named as the composer, or named as nothing else, or
// else what is printed as the composer, or flush right, on the first page.
func composer(root *etree.Element) string {
	for creator := range root.SelectElement("identification").NotNil().SelectElementsSeq("creator") {
		if creator.SelectAttrValue("type", "composer") == "composer" && isName(text(creator)) {
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

// What stands where a title or a name should and is none: rights, and what
// writers put there until somebody fills it in. Common practice.
var (
	rights       = regexp.MustCompile(`(?i)©|\(c\)\s*\d|copyright|all rights reserved|alle rechte|tous droits|todos los derechos|https?://|\bwww\.|veröffentlichung`)
	placeholders = []string{"title", "titel", "titre", "título", "titolo", "untitled", "untitled score", "unnamed", "composer", "komponist", "compositeur", "score", "music21 fragment", "music21"}
	ofAFile      = regexp.MustCompile(`(?i)\.(musicxml|mxl|xml|midi?|pdf|krn|mei|abc|ly|sib|musx?|mscz|mscx|cap|capx|nwc|ptb|enc)$|^\S*_\S*$|[/\\]\S*[/\\]`)
)

// isName reports whether a text names a piece or a person: it is not empty, no line
// about rights, no placeholder, and not the name of a file.
func isName(text string) bool {
	return text != "" && !rights.MatchString(text) && !ofAFile.MatchString(text) && !slices.Contains(placeholders, strings.ToLower(text))
}

// nameOfFile is the title that a file's name makes, "" for the name of no score.
func nameOfFile(name string) string {
	base := filepath.Base(name)
	for _, ext := range []string{".musicxml", ".xml", ".mxl"} {
		if len(base) > len(ext) && strings.EqualFold(base[len(base)-len(ext):], ext) {
			return strings.Join(strings.Fields(strings.ReplaceAll(base[:len(base)-len(ext)], "_", " ")), " ")
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

// noNames are the <credit-type>s of what is neither a title nor a name.
var noNames = []string{"rights", "page number"}

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
		if isName(c.text) && !slices.Contains(noNames, c.kind) {
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
