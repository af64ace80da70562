// Package kinds is the list of all kinds of hard place, each a package below it.
package kinds

import (
	"hardbars/detect"
	"hardbars/detect/kinds/counting"
	"hardbars/detect/kinds/crossrhythm"
	"hardbars/detect/kinds/fastrun"
	"hardbars/detect/kinds/handcrossing"
	"hardbars/detect/kinds/heldandmoving"
	"hardbars/detect/kinds/leap"
	"hardbars/detect/kinds/longpedal"
	"hardbars/detect/kinds/melodyoveraccompaniment"
	"hardbars/detect/kinds/memory"
	"hardbars/detect/kinds/octaverun"
	"hardbars/detect/kinds/ornament"
	"hardbars/detect/kinds/parallelsixths"
	"hardbars/detect/kinds/parallelthirds"
	"hardbars/detect/kinds/patternbreak"
	"hardbars/detect/kinds/pedalheld"
	"hardbars/detect/kinds/reading"
	"hardbars/detect/kinds/regrouping"
	"hardbars/detect/kinds/repeatednotes"
	"hardbars/detect/kinds/rotation"
	"hardbars/detect/kinds/softcontrol"
	"hardbars/detect/kinds/spreadchord"
	"hardbars/detect/kinds/spreadoctave"
	"hardbars/detect/kinds/tieacrosspedal"
	"hardbars/detect/kinds/widestretch"
)

// All is the one list of kinds, in the order in which they are shown.
var All = []*detect.Detector{
	crossrhythm.Detector,
	leap.Detector,
	parallelthirds.Detector,
	tieacrosspedal.Detector,
	spreadoctave.Detector,
	parallelsixths.Detector,
	octaverun.Detector,
	spreadchord.Detector,
	widestretch.Detector,
	fastrun.Detector,
	repeatednotes.Detector,
	softcontrol.Detector,
	melodyoveraccompaniment.Detector,
	heldandmoving.Detector,
	handcrossing.Detector,
	longpedal.Detector,
	pedalheld.Detector,
	patternbreak.Detector,
	regrouping.Detector,
	ornament.Detector,
	rotation.Detector,
	counting.Detector,
	reading.Detector,
	memory.Detector,
}

// Find returns the detector of a kind, nil where the list has none.
func Find(kind detect.Kind) *detect.Detector {
	for _, d := range All {
		if d.Kind == kind {
			return d
		}
	}
	return nil
}
