package musicxml

import (
	"archive/zip"
	"hash/crc32"
	"io"
)

// WriteTo writes the score as plain XML in UTF-8. What the tree holds is
// written as it is: nothing is indented, sorted or left out.
func (f *File) WriteTo(w io.Writer) (int64, error) { return f.Doc.WriteTo(w) }

// scoreName is the name of the score within a compressed file.
const scoreName = "score.musicxml"

const container = `<?xml version="1.0" encoding="UTF-8"?>
<container>
  <rootfiles>
    <rootfile full-path="` + scoreName + `" media-type="` + scoreMedia + `"/>
  </rootfiles>
</container>
`

// WriteMXL writes the score as compressed MusicXML. The same tree gives the
// same bytes: nothing in the archive tells when it was made.
func (f *File) WriteMXL(w io.Writer) error {
	z := zip.NewWriter(w)
	if err := addMimetype(z); err != nil {
		return err
	}
	c, err := z.CreateHeader(entry("META-INF/container.xml", zip.Deflate))
	if err != nil {
		return err
	}
	if _, err := io.WriteString(c, container); err != nil {
		return err
	}
	s, err := z.CreateHeader(entry(scoreName, zip.Deflate))
	if err != nil {
		return err
	}
	if _, err := f.WriteTo(s); err != nil {
		return err
	}
	return z.Close()
}

// addMimetype puts the media type first and uncompressed, so that it stands
// at a fixed place of the archive.
func addMimetype(z *zip.Writer) error {
	h := entry("mimetype", zip.Store)
	h.CRC32 = crc32.ChecksumIEEE([]byte(archiveMedia))
	h.CompressedSize64 = uint64(len(archiveMedia))
	h.UncompressedSize64 = h.CompressedSize64
	m, err := z.CreateRaw(h)
	if err != nil {
		return err
	}
	_, err = io.WriteString(m, archiveMedia)
	return err
}

// entry is dated 1 January 1980, the first day that a ZIP archive can name.
func entry(name string, method uint16) *zip.FileHeader {
	return &zip.FileHeader{Name: name, Method: method, ModifiedDate: 1<<5 | 1}
}
