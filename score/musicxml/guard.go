package musicxml

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/beevik/etree"
)

// What a score may ask of the reader. MusicXML itself nests about a dozen deep,
// and a long sonata movement takes some 2 MiB.
const (
	maxSize  = 256 << 20 // bytes, unpacked
	maxDepth = 256       // elements within elements
)

const exportAgain = "; export the score as MusicXML (.musicxml or .mxl)"

// refuse tells of files that are plainly something else.
func refuse(data []byte) error {
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return errors.New("the file is empty; save or download it again")
	case bytes.HasPrefix(data, []byte("MThd")):
		return errors.New("this is a MIDI file, which knows no bars, hands or note names" + exportAgain)
	case bytes.HasPrefix(data, []byte("%PDF")):
		return errors.New("this is a PDF, a picture of the score" + exportAgain)
	}
	return nil
}

// parse builds the tree, and refuses what is not a score.
func parse(text []byte) (*etree.Document, error) {
	if err := checkRoot(text); err != nil {
		return nil, err
	}
	if err := checkElements(text); err != nil {
		return nil, err
	}
	doc := etree.NewDocument()
	doc.ReadSettings = etree.ReadSettings{
		MaxDepth:               maxDepth,
		PreserveCData:          bytes.Contains(text, []byte("<![CDATA[")), // only then: it takes time
		PreserveDuplicateAttrs: true,
	}
	// Canonical: a carriage return, and a line break or tab in an attribute,
	// are written so that they are read again.
	doc.WriteSettings = etree.WriteSettings{CanonicalText: true, CanonicalAttrVal: true}
	if err := doc.ReadFromBytes(text); err != nil {
		return nil, fault(text)
	}
	return doc, tidyOutside(doc)
}

// checkRoot looks at the first element before anything is built.
func checkRoot(text []byte) error {
	if !bytes.HasPrefix(bytes.TrimSpace(text), []byte("<")) {
		return errors.New("this is not XML" + exportAgain)
	}
	d := xml.NewDecoder(bytes.NewReader(text))
	for {
		t, err := d.RawToken()
		if err != nil {
			return sentence(d, err)
		}
		start, ok := t.(xml.StartElement)
		if !ok {
			continue
		}
		switch name := start.Name.Local; {
		case name == "score-partwise" || name == "score-timewise":
			return nil
		case strings.EqualFold(name, "html"):
			return errors.New("this is a web page, not a score; download the score file itself")
		case name == "opus":
			return errors.New("this is a list of scores; name one of the scores in it")
		default:
			line, _ := d.InputPos()
			return fmt.Errorf("line %d: this is XML but not MusicXML, since it begins with <%.40s>"+exportAgain, line, name)
		}
	}
}

// fault finds the line and the reason of what the tree builder refused: it
// names neither.
func fault(text []byte) error {
	d := xml.NewDecoder(bytes.NewReader(text))
	for depth := 0; ; {
		t, err := d.Token()
		if err != nil {
			return sentence(d, err)
		}
		switch t.(type) {
		case xml.StartElement:
			depth++
		case xml.EndElement:
			depth--
		}
		if depth > maxDepth {
			line, _ := d.InputPos()
			return fmt.Errorf("line %d: elements are nested more than %d deep, as in no score; export the score again", line, maxDepth)
		}
	}
}

var undefinedEntity = regexp.MustCompile(`&[^;\s]+;`)

// sentence says what stopped the decoder, where, and what to do.
func sentence(d *xml.Decoder, err error) error {
	line, _ := d.InputPos()
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		line, err = syntax.Line, errors.New(syntax.Msg)
	}
	if errors.Is(err, io.EOF) || syntax != nil && strings.HasPrefix(syntax.Msg, "unexpected EOF") {
		return fmt.Errorf("line %d: the file is cut short; save or download it again", line)
	}
	if entity := undefinedEntity.FindString(err.Error()); entity != "" {
		return fmt.Errorf("line %d: the entity %.40s is not read here; write its text in its place", line, entity)
	}
	return fmt.Errorf("line %d: this is not well-formed XML (%w); export the score again", line, err)
}

// tidyOutside refuses whatever else than the root a document may not hold, and
// drops white space in front of the XML declaration, which many readers refuse.
func tidyOutside(doc *etree.Document) error {
	elements := 0
	for _, t := range doc.Child {
		switch t := t.(type) {
		case *etree.Element:
			elements++
		case *etree.CharData:
			if !t.IsWhitespace() {
				return fmt.Errorf("there is text outside the score, %.20q; export the score again", strings.TrimSpace(t.Data))
			}
		}
	}
	if elements > 1 {
		return errors.New("there is a second root element after the score; export the score again")
	}
	if space, ok := doc.Child[0].(*etree.CharData); ok {
		doc.RemoveChild(space)
	}
	return nil
}
