package musicxml

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"

	"github.com/beevik/etree"
)

// Media types of the MusicXML 4.0 specification, "Compressed .mxl files".
const (
	archiveMedia = "application/vnd.recordare.musicxml"
	scoreMedia   = "application/vnd.recordare.musicxml+xml"
)

const containerPath = "META-INF/container.xml"

func isZIP(data []byte) bool {
	return bytes.HasPrefix(data, []byte("PK\x03\x04")) || bytes.HasPrefix(data, []byte("PK\x05\x06"))
}

// unpack returns the score within a compressed MusicXML file. Nothing else in
// the archive is unpacked, and nothing is written anywhere.
func (f *File) unpack(data []byte) ([]byte, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, errors.New("the archive is cut short or damaged; save or download it again")
	}
	list, err := member(z, containerPath)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, errors.New("this is a ZIP archive but not a compressed score, since it has no " + containerPath +
			"; unpack it and name the score file in it")
	}
	if err != nil {
		return nil, err
	}
	roots, err := rootFiles(list)
	if err != nil {
		return nil, err
	}
	if len(roots) > 1 {
		f.warn("the archive holds %d scores (%s); the first was read", len(roots), strings.Join(roots, ", "))
	}
	return rootScore(z, roots[0])
}

// rootFiles lists the scores that the container names, in its order. A root
// file without a media type is a score; where all are of other types, the
// first is tried.
func rootFiles(list []byte) ([]string, error) {
	doc := etree.NewDocument()
	doc.ReadSettings.MaxDepth = maxDepth
	if err := doc.ReadFromBytes(list); err != nil {
		return nil, errors.New(containerPath + " in the archive is not XML; export the score again")
	}
	var scores, others []string
	for r := range doc.SelectElement("container").NotNil().SelectElement("rootfiles").NotNil().SelectElementsSeq("rootfile") {
		name := r.SelectAttrValue("full-path", "")
		switch r.SelectAttrValue("media-type", "") {
		case scoreMedia, "":
			scores = append(scores, name)
		default:
			others = append(others, name)
		}
	}
	switch {
	case len(scores) > 0:
		return scores, nil
	case len(others) > 0:
		return others[:1], nil
	}
	return nil, errors.New("the archive names no score in " + containerPath + "; export the score again")
}

func rootScore(z *zip.Reader, name string) ([]byte, error) {
	clean := path.Clean(name)
	if name == "" || !fs.ValidPath(clean) {
		return nil, fmt.Errorf("the archive names a score outside itself, %q; export the score again", name)
	}
	data, err := member(z, clean)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("the archive does not hold the score that it names, %q; export the score again", name)
	}
	return data, err
}

// member unpacks one file of the archive. It is unpacked twice, the first time
// only to count: the size that an archive declares may be false, and what is
// too large is refused before any of it is held.
func member(z *zip.Reader, name string) ([]byte, error) {
	for _, m := range z.File {
		if m.Name != name {
			continue
		}
		size, err := unpacked(m, func(r io.Reader) (int64, error) {
			return io.Copy(io.Discard, io.LimitReader(r, maxSize+1))
		})
		if err != nil {
			return nil, damaged(name, err)
		}
		if size > maxSize {
			return nil, errTooLarge
		}
		data := make([]byte, size)
		if _, err := unpacked(m, func(r io.Reader) (int64, error) {
			n, err := io.ReadFull(r, data)
			return int64(n), err
		}); err != nil {
			return nil, damaged(name, err)
		}
		return data, nil
	}
	return nil, fs.ErrNotExist
}

// unpacked lets a file of the archive be read from its start.
func unpacked(m *zip.File, read func(io.Reader) (int64, error)) (int64, error) {
	r, err := m.Open()
	if err != nil {
		return 0, err
	}
	defer r.Close()
	return read(r)
}

func damaged(name string, err error) error {
	if errors.Is(err, zip.ErrAlgorithm) {
		return fmt.Errorf("%s in the archive is packed in a way that cannot be read here; save the score uncompressed", name)
	}
	return fmt.Errorf("%s in the archive is damaged; save or download it again", name)
}

var errTooLarge = fmt.Errorf("the score is larger than %d MiB; split it into movements", maxSize>>20)

// readAll reads up to maxSize bytes and refuses more.
func readAll(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxSize+1))
	if len(data) > maxSize {
		return nil, errTooLarge
	}
	return data, err
}
