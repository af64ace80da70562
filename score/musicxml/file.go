// Package musicxml reads MusicXML, versions 1.0 to 4.0, into a notation.Score and a
// score.Score, and writes any notation.Score.
//
// It knows files, encodings, XML and the untidy ways of exporters. What any of it
// means for a player is kept out.
package musicxml

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// File is one MusicXML document as it came, unchanged but for its encoding,
// which is UTF-8 from here on: whoever marks the score works on the same tree
// that the Score was read from.
type File struct {
	Name     string          // for messages: as the user gave it
	Doc      *etree.Document // score-partwise or score-timewise
	Version  string          // as declared, "1.0" when the file does not say
	Warnings []score.Warning // about the container and the encoding

	notes []*etree.Element // NoteElements, once asked for
	last  *pageRead        // by the last walk through the music; nil before the first
	walks int              // how many there were
}

// Options are the reader's choices.
type Options struct {
	Part string // id or name of the part to read, or "P1,P2" for two one-staff parts; "" finds the piano
}

// Open reads a file by its path; "-" is standard input. The error is one
// sentence that names the file.
func Open(path string) (*File, error) {
	if path == "-" {
		return Read(os.Stdin, "standard input")
	}
	in, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: there is no such file; check the name and the folder", path)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be opened: %w", path, cause(err))
	}
	defer in.Close()
	if info, err := in.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s: this is a folder; name a score file in it", path)
	}
	return Read(in, path)
}

// Read reads .musicxml, .xml or .mxl, told apart by content. name is used in
// messages only. Nothing but r is read: a DTD that the file names is left alone.
func Read(r io.Reader, name string) (*File, error) {
	f := &File{Name: name}
	if err := f.read(r); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return f, nil
}

func (f *File) read(r io.Reader) error {
	data, err := readAll(r)
	if err != nil {
		return err
	}
	if isZIP(data) {
		if data, err = f.unpack(data); err != nil {
			return err
		}
	}
	if err := refuse(data); err != nil {
		return err
	}
	text, err := f.decode(data)
	if err != nil {
		return err
	}
	if f.Doc, err = parse(text); err != nil {
		return err
	}
	f.Version = version(f.Doc)
	return nil
}

func (f *File) warn(format string, args ...any) {
	f.Warnings = append(f.Warnings, score.Warning{Text: fmt.Sprintf(format, args...)})
}

// cause is an error without the operation and path that package os puts before it.
func cause(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// version is what the root declares, or else the DOCTYPE's public identifier,
// as in "-//Recordare//DTD MusicXML 3.0 Partwise//EN". The version attribute
// came with MusicXML 1.1 and defaults to 1.0.
func version(doc *etree.Document) string {
	if v := doc.Root().SelectAttrValue("version", ""); v != "" {
		return v
	}
	for _, t := range doc.Child {
		if d, ok := t.(*etree.Directive); ok {
			_, after, _ := strings.Cut(d.Data, "DTD MusicXML ")
			if v, _, ok := strings.Cut(after, " "); ok {
				return v
			}
		}
	}
	return "1.0"
}

// NoteElements returns every <note> element in document order: score.Head.ID
// is an index into it. The list is made at the first call and kept, so that
// the numbers stay the same while marks are added.
func (f *File) NoteElements() []*etree.Element {
	if f.notes == nil {
		for outer := range f.Doc.Root().ChildElementsSeq() {
			for inner := range outer.ChildElementsSeq() {
				f.notes = slices.AppendSeq(f.notes, inner.SelectElementsSeq("note"))
			}
		}
	}
	return f.notes
}
