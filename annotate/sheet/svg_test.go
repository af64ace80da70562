package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"hardbars/detect"
)

// Every form of picture is well-formed XML, has the sentence below it as its
// name, and is the same each time.
func TestPictureSVG(t *testing.T) {
	for _, p := range []detect.Picture{grid(3, 2), grid(4, 3), detect.KeyMove{From: []int{48}, To: []int{72}}, detect.KeyChord{Keys: []int{48, 64}}} {
		svg, caption := PictureSVG(p, "kind-1")
		elements := map[string]int{}
		var title string
		dec := xml.NewDecoder(bytes.NewReader(svg))
		for {
			token, err := dec.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%T: %v in %s", p, err, svg)
			}
			switch token := token.(type) {
			case xml.StartElement:
				elements[token.Name.Local]++
				for _, a := range token.Attr {
					if a.Name.Local == "style" || strings.Contains(a.Value, "NaN") {
						t.Errorf("%T: %s has %s=%q", p, token.Name.Local, a.Name.Local, a.Value)
					}
				}
			case xml.CharData:
				if elements["title"] == 1 && title == "" {
					title = string(token)
				}
			}
		}
		if title == "" || title != caption {
			t.Errorf("%T is named %q, and the sentence below it is %q", p, title, caption)
		}
		if again, _ := PictureSVG(p, "kind-1"); !bytes.Equal(svg, again) {
			t.Errorf("%T is not the same the second time", p)
		}
	}
	if svg, caption := PictureSVG(nil, "kind-1"); svg != nil || caption != "" {
		t.Errorf("no picture is drawn as %q with %q", svg, caption)
	}
}

// 3 over 2 has three attacks on the upper line, which are discs, and two on the
// lower, which are squares.
func TestPictureSVGShapes(t *testing.T) {
	svg, _ := PictureSVG(grid(3, 2), "kind-1")
	if discs := bytes.Count(svg, []byte("<ellipse")); discs < 3 {
		t.Errorf("%d discs, want 3 or more", discs)
	}
	if squares := bytes.Count(svg, []byte("<rect")); squares < 2 {
		t.Errorf("%d squares, want 2 or more", squares)
	}
}
