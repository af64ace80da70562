// Package testdata holds scores that the project wrote, with what must be found
// in each beside it. The page shows one of them on a first visit.
package testdata

import _ "embed"

// Example is a piece that has most kinds of hard places, as MusicXML.
//
//go:embed lantern-barcarolle.musicxml
var Example []byte
