package beside

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash"
	"io"
)

// A Seal ends each file that hardbars writes: the digest of everything before
// it, in a form that the file's format passes over. A file whose seal is whole
// can be made again at any time and may be replaced; a file with a broken seal
// or none has been changed by its owner and is kept.
//
// Each form has one fixed length, so that a seal is found by its place.
type Seal struct {
	begin, end string
	inZip      bool   // the seal is the archive's comment
	closing    string // what ends the file in any case: the seal goes before it and ends with it
}

// The seals of the formats that are written.
var (
	XMLSeal      = Seal{begin: "<?hardbars seal ", end: "?>"}
	PDFSeal      = Seal{begin: "%hardbars seal ", end: "\n"}
	MXLSeal      = Seal{begin: "hardbars seal ", end: ".", inZip: true}
	CalendarSeal = Seal{begin: "X-HARDBARS-SEAL:\r\n ", end: "\r\n" + icsClosing, closing: icsClosing} // folded, since a line has 75 bytes at most
)

// icsClosing ends every calendar with an event in it.
const icsClosing = "END:VEVENT\r\nEND:VCALENDAR\r\n"

func (f Seal) size() int { return len(f.begin) + 2*sha256.Size + len(f.end) }

func (f Seal) text(sum []byte) string { return f.begin + hex.EncodeToString(sum) + f.end }

// Writer makes a write function seal what it writes.
func (f Seal) Writer(write func(io.Writer) error) func(io.Writer) error {
	return func(w io.Writer) error {
		body := &sealing{w: w, sum: sha256.New(), keep: max(commentLength, len(f.closing))}
		if err := write(body); err != nil {
			return err
		}
		last := bytes.TrimSuffix(body.last, []byte(f.closing))
		body.sum.Write(last)
		seal := f.text(body.sum.Sum(nil))
		if f.inZip {
			setCommentLength(last, len(seal))
		}
		_, err := w.Write(append(last, seal...))
		return err
	}
}

// sealing writes what it is given and takes its digest, all but the last bytes,
// which the seal may change.
type sealing struct {
	w    io.Writer
	sum  hash.Hash
	keep int // how many bytes are the last
	last []byte
}

func (s *sealing) Write(p []byte) (int, error) {
	s.last = append(s.last, p...)
	done := max(0, len(s.last)-s.keep)
	s.sum.Write(s.last[:done])
	_, err := s.w.Write(s.last[:done])
	s.last = append(s.last[:0], s.last[done:]...)
	return len(p), err
}

// sealed reports whether data is just as hardbars wrote it.
func sealed(data []byte) bool {
	for _, f := range []Seal{XMLSeal, PDFSeal, MXLSeal, CalendarSeal} {
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
		sum := sha256.Sum256(body)
		return f.text(sum[:]) == string(data[cut:])
	}
	return false
}

// commentLength is how many bytes the last field of a ZIP archive without a
// comment has, which gives the length of the comment.
const commentLength = 2

func setCommentLength(archive []byte, n int) {
	binary.LittleEndian.PutUint16(archive[len(archive)-commentLength:], uint16(n))
}
