// Package piece opens a piece of music, the same for the command and the page: its
// score, which hand plays what, what is hard in it, and the teacher's remarks and
// the log of practice that stand beside it.
//
// Flags, the terminal and HTTP are kept out.
package piece

import (
	"errors"
	"io/fs"

	"hardbars/annotate/remarks"
	"hardbars/cmd/hardbars/beside"
	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
)

// Piece is the piano part of a file.
type Piece struct {
	File    *musicxml.File
	Written *score.Score // as it was read, the hands not yet decided

	options musicxml.Options
}

// Open reads the piano part of a file: the part of that id or name, or with "" the
// one that is plainly the piano's.
func Open(f *musicxml.File, part string) (*Piece, error) {
	p := &Piece{File: f, options: musicxml.Options{Part: part}}
	var err error
	p.Written, err = f.Score(p.options)
	return p, err
}

// Music is what is written, for excerpts of it.
func (p *Piece) Music() (*notation.Score, error) { return p.File.Notation(p.options) }

// Study finds what is hard in the piece for a player, and heeds a page of remarks.
// The report to go on with is that of the result.
func (p *Piece) Study(player detect.Player, page *remarks.Page) (*remarks.Remarks, error) {
	s, wrong := Hands(p.Written, player, page)
	said, err := page.On(Analyze(s, player))
	return said, errors.Join(wrong, err)
}

// Hands gives every note of a score to the hand of a player that plays it. The
// error tells of remarks on hands that fit no note; they are passed over.
func Hands(written *score.Score, player detect.Player, page *remarks.Page) (*score.Score, error) {
	taken, wrong := page.Taken(written)
	return hand.Assign(written, player.Hands(), taken), wrong
}

// Analyze finds what is hard in a score, its hands decided, for a player.
func Analyze(s *score.Score, player detect.Player) *detect.Report {
	return detect.Analyze(s, player, kinds.All)
}

// Page reads a page of remarks by its path, "" for none. It is empty where there is
// none, unless it was asked for.
func Page(path string, asked bool) (*remarks.Page, error) {
	page, err := beside.ReadRemarks(path)
	if !asked && (path == "" || errors.Is(err, fs.ErrNotExist)) {
		return &remarks.Page{}, nil
	}
	return page, err
}

// RemarksName is the page of remarks beside a score.
func RemarksName(score string) string { return beside.Name(score, "", ".remarks.md") }

// LogName is the log of practice beside a score.
func LogName(score string) string { return beside.Name(score, "", ".practice.log") }
