package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"io"
)

// A seal ends each file that hardbars writes: the digest of everything before
// it, in a form that the file's format passes over. A file whose seal is whole
// can be made again at any time and may be replaced; a file with a broken seal
// or none has been changed by its owner and is kept.
//
// Each form has one fixed length, so that a seal is found by its place.
type sealForm struct {
	begin, end string
	inZip      bool   // the seal is the archive's comment
	closing    string // what ends the file in any case: the seal goes before it and ends with it
}

var (
	xmlSeal = sealForm{begin: "<?hardbars seal ", end: "?>"}
	pdfSeal = sealForm{begin: "%hardbars seal ", end: "\n"}
	mxlSeal = sealForm{begin: "hardbars seal ", end: ".", inZip: true}
	icsSeal = sealForm{begin: "X-HARDBARS-SEAL:\r\n ", end: "\r\n" + icsClosing, closing: icsClosing} // folded, since a line has 75 bytes at most
)

// icsClosing ends every calendar with an event in it.
const icsClosing = "END:VEVENT\r\nEND:VCALENDAR\r\n"

func (f sealForm) size() int { return len(f.begin) + 2*sha256.Size + len(f.end) }

func (f sealForm) text(body []byte) string {
	sum := sha256.Sum256(body)
	return f.begin + hex.EncodeToString(sum[:]) + f.end
}

// writer makes a write function seal what it writes.
func (f sealForm) writer(write func(io.Writer) error) func(io.Writer) error {
	return func(w io.Writer) error {
		body, err := buffered(write)
		if err != nil {
			return err
		}
		body = bytes.TrimSuffix(body, []byte(f.closing))
		seal := f.text(body)
		if f.inZip {
			setCommentLength(body, len(seal))
		}
		if _, err := w.Write(body); err != nil {
			return err
		}
		_, err = io.WriteString(w, seal)
		return err
	}
}

// sealed tells whether data is just as hardbars wrote it.
func sealed(data []byte) bool {
	for _, f := range []sealForm{xmlSeal, pdfSeal, mxlSeal, icsSeal} {
		cut := len(data) - f.size()
		if cut < 2 || !bytes.HasPrefix(data[cut:], []byte(f.begin)) {
			continue
		}
		body := data[:cut]
		if f.inZip {
			whole := bytes.Clone(body)
			setCommentLength(whole, f.size())
			if !bytes.Equal(whole, body) {
				return false
			}
			body = whole
			setCommentLength(body, 0)
		}
		return f.text(body) == string(data[cut:])
	}
	return false
}

// setCommentLength sets the last field of a ZIP archive without a comment.
func setCommentLength(archive []byte, n int) {
	binary.LittleEndian.PutUint16(archive[len(archive)-2:], uint16(n))
}
