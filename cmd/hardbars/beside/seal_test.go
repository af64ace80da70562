package beside

import (
	"archive/zip"
	"bytes"
	"io"
	"testing"
	"testing/iotest"
)

// TestSeal: a file is known as just written until any byte of it changes.
func TestSeal(t *testing.T) {
	forms := map[string]struct {
		form Seal
		body []byte
	}{
		"xml": {XMLSeal, []byte("<score-partwise/>\n")},
		"pdf": {PDFSeal, []byte("%PDF-1.3\n%%EOF\n")},
		"mxl": {MXLSeal, archive(t)},
		"ics": {CalendarSeal, []byte("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n")},
	}
	for name, f := range forms {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			write := f.form.Writer(func(w io.Writer) error {
				_, err := w.Write(bytes.Clone(f.body))
				return err
			})
			if err := write(&out); err != nil {
				t.Fatal(err)
			}
			data := out.Bytes()
			if !sealed(data) {
				t.Fatal("a file just written is not known as such")
			}
			var piecemeal bytes.Buffer
			inPieces := f.form.Writer(func(w io.Writer) error {
				_, err := io.CopyBuffer(w, iotest.OneByteReader(bytes.NewReader(f.body)), make([]byte, 1))
				return err
			})
			if err := inPieces(&piecemeal); err != nil || !bytes.Equal(piecemeal.Bytes(), data) {
				t.Errorf("written byte by byte the file is another: %q, %v", piecemeal.Bytes(), err)
			}
			for i := range data {
				changed := bytes.Clone(data)
				changed[i] ^= 1
				if sealed(changed) {
					t.Fatalf("byte %d was changed and the file still counts as just written", i)
				}
			}
			if sealed(f.body) || sealed(append(bytes.Clone(data), '\n')) {
				t.Error("a file without a seal at its end counts as just written")
			}
		})
	}
}

// TestSealLeavesAnArchiveReadable: the standard reader opens a sealed archive.
func TestSealLeavesAnArchiveReadable(t *testing.T) {
	var out bytes.Buffer
	write := MXLSeal.Writer(func(w io.Writer) error {
		_, err := w.Write(archive(t))
		return err
	})
	if err := write(&out); err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil || len(r.File) != 1 {
		t.Fatalf("the sealed archive does not open: %v", err)
	}
}

func archive(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	if _, err := z.Create("score.musicxml"); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
