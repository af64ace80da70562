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
type metadata struct {
	Defaults map[string]json.RawMessage       `json:"engravingDefaults"`
	Boxes    map[string]corners               `json:"glyphBBoxes"`
	Anchors  map[string]map[string][2]float64 `json:"glyphsWithAnchors"`
}

// corners are those of a glyph's bounding box.
type corners struct {
	NE [2]float64 `json:"bBoxNE"`
	SW [2]float64 `json:"bBoxSW"`
}

func (c corners) box() Box { return Box{c.SW[0], -c.NE[1], c.NE[0], -c.SW[1]} }

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
