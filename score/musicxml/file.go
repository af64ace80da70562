// Package musicxml reads MusicXML, versions 1.0 to 4.0, into a score.Score.
//
// It knows files, encodings, XML and the untidy ways of exporters. It refuses
// to know what any of it means for a player.
package musicxml

import (
	"io"

	"github.com/beevik/etree"

	"hardbars/score"
)

// File is one MusicXML document as it came, unchanged: whoever marks the score
// works on the same tree that the Score was read from.
type File struct {
	Name     string          // for messages: as the user gave it
	Doc      *etree.Document // score-partwise or score-timewise
	Version  string          // as declared, "1.0" when the file does not say
	Warnings []score.Warning // about the container and the encoding
}

// Open reads a file by its path; "-" is standard input.
func Open(path string) (*File, error) { panic("being written") }

// Read reads .musicxml, .xml or .mxl, told apart by content. name is used in messages only.
func Read(r io.Reader, name string) (*File, error) { panic("being written") }

// Options are the reader's choices.
type Options struct {
	Part string // id or name of the part to read; "" finds the piano
}

// Score reads the piano part.
func (f *File) Score(o Options) (*score.Score, error) { panic("being written") }

// NoteElements returns every <note> element in document order: score.Head.ID is an index into it.
func (f *File) NoteElements() []*etree.Element { panic("being written") }
