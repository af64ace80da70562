package smufl

import (
	_ "embed"
	"encoding/json"
	"fmt"

	"golang.org/x/image/font/sfnt"
)

// Where the files come from is told in bravura/SOURCE.md.
//
//go:embed bravura/bravura.otf
var bravuraOTF []byte

//go:embed bravura/metadata.json
var bravuraMetadata []byte

// metadata is what is used of a SMuFL font's metadata file; y goes up in it.
// Only what a glyph needs when it is asked for is taken apart.
type metadata struct {
	Defaults map[string]json.RawMessage `json:"engravingDefaults"`
	Boxes    map[string]json.RawMessage `json:"glyphBBoxes"`
	Anchors  map[string]json.RawMessage `json:"glyphsWithAnchors"`
}

// corners are those of a glyph's bounding box.
type corners struct {
	NE [2]float64 `json:"bBoxNE"`
	SW [2]float64 `json:"bBoxSW"`
}

// box is what a glyph covers.
func (m *metadata) box(name string) (Box, error) {
	var c corners
	raw, ok := m.Boxes[name]
	if !ok {
		return Box{}, fmt.Errorf("metadata: no bounding box of %s", name)
	}
	if err := json.Unmarshal(raw, &c); err != nil {
		return Box{}, fmt.Errorf("metadata: bounding box of %s: %w", name, err)
	}
	return Box{c.SW[0], -c.NE[1], c.NE[0], -c.SW[1]}, nil
}

// anchors are the places of a glyph that have a name; it may have none.
func (m *metadata) anchors(name string) (map[string]Point, error) {
	raw, ok := m.Anchors[name]
	if !ok {
		return nil, nil
	}
	var at map[string][2]float64
	if err := json.Unmarshal(raw, &at); err != nil {
		return nil, fmt.Errorf("metadata: anchors of %s: %w", name, err)
	}
	points := make(map[string]Point, len(at))
	for anchor, p := range at {
		points[anchor] = Point{p[0], -p[1]}
	}
	return points, nil
}

func parse(otf, meta []byte) (*Font, error) {
	f := &Font{glyphs: map[string]*Glyph{}}
	var err error
	if f.outlines, err = sfnt.Parse(otf); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(meta, &f.metadata); err != nil {
		return nil, fmt.Errorf("metadata: %w", err)
	}
	return f, f.readDefaults()
}

// readDefaults reads the engraving defaults by their names in the standard.
func (f *Font) readDefaults() error {
	d := &f.Defaults
	for name, to := range map[string]*float64{
		"staffLineThickness": &d.StaffLine, "legerLineThickness": &d.LedgerLine, "legerLineExtension": &d.LedgerExtension,
		"stemThickness": &d.Stem, "beamThickness": &d.Beam, "beamSpacing": &d.BeamSpacing,
		"slurEndpointThickness": &d.SlurEnd, "slurMidpointThickness": &d.SlurMiddle,
		"tieEndpointThickness": &d.TieEnd, "tieMidpointThickness": &d.TieMiddle,
		"thinBarlineThickness": &d.ThinBarline, "thickBarlineThickness": &d.ThickBarline,
		"barlineSeparation": &d.BarlineGap, "thinThickBarlineSeparation": &d.ThinThickGap,
		"repeatBarlineDotSeparation": &d.RepeatDotsGap,
		"dashedBarlineDashLength":    &d.BarlineDash, "dashedBarlineGapLength": &d.BarlineDashGap,
		"hairpinThickness": &d.Hairpin, "octaveLineThickness": &d.OctaveLine, "pedalLineThickness": &d.PedalLine,
		"tupletBracketThickness": &d.TupletBracket, "repeatEndingLineThickness": &d.Ending,
		"bracketThickness": &d.Bracket, "arrowShaftThickness": &d.ArrowShaft,
	} {
		raw, ok := f.metadata.Defaults[name]
		if !ok {
			continue
		}
		if err := json.Unmarshal(raw, to); err != nil {
			return fmt.Errorf("metadata: %s: %w", name, err)
		}
	}
	if d.ThinThickGap == 0 {
		d.ThinThickGap = d.BarlineGap // the font was made before the standard had it
	}
	return nil
}
