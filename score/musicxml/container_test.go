package musicxml

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/crc32"
	"io"
	"strings"
	"testing"
)

// pack makes an archive of files, given as name and content in turn.
func pack(t testing.TB, files ...string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		w, err := z.Create(files[i])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, files[i+1]); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// rooted is a container with these <rootfile> elements.
func rooted(rootfiles string) string {
	return `<?xml version="1.0"?><container><rootfiles>` + rootfiles + `</rootfiles></container>`
}

func TestMXLIsReadAsPlain(t *testing.T) {
	plain := mustRead(t, tune)
	const xml, other = ` media-type="application/vnd.recordare.musicxml+xml"`, ` media-type="application/pdf"`
	for name, archive := range map[string]string{
		"typed":               pack(t, containerPath, rooted(`<rootfile full-path="a.xml"`+xml+`/>`), "a.xml", tune),
		"untyped":             pack(t, containerPath, rooted(`<rootfile full-path="a.xml"/>`), "a.xml", tune),
		"in a folder":         pack(t, "b.xml", "<x/>", "in/a.musicxml", tune, containerPath, rooted(`<rootfile full-path="in/a.musicxml"/>`)),
		"with a dot":          pack(t, containerPath, rooted(`<rootfile full-path="./a.xml"/>`), "a.xml", tune),
		"after a PDF":         pack(t, containerPath, rooted(`<rootfile full-path="a.pdf"`+other+`/><rootfile full-path="a.xml"`+xml+`/>`), "a.xml", tune, "a.pdf", "%PDF"),
		"of an unknown type":  pack(t, containerPath, rooted(`<rootfile full-path="a.xml" media-type="text/xml"/>`), "a.xml", tune),
		"container namespace": pack(t, containerPath, `<c:container xmlns:c="x"><c:rootfiles><c:rootfile full-path="a.xml"/></c:rootfiles></c:container>`, "a.xml", tune),
	} {
		f, err := Read(strings.NewReader(archive), "tune.mxl")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if where := same(&plain.Doc.Element, &f.Doc.Element); where != "" {
			t.Errorf("%s: the tree differs at %s", name, where)
		}
		if len(f.Warnings) > 0 {
			t.Errorf("%s: warnings %q", name, f.Warnings)
		}
	}
}

func TestFirstOfSeveralScores(t *testing.T) {
	f := mustRead(t, pack(t,
		containerPath, rooted(`<rootfile full-path="b.xml"/><rootfile full-path="a.xml"/>`),
		"a.xml", `<score-timewise/>`, "b.xml", tune))
	if got := f.Doc.Root().Tag; got != "score-partwise" {
		t.Errorf("read a %s", got)
	}
	if want := "the archive holds 2 scores (b.xml, a.xml); the first was read"; len(f.Warnings) != 1 || f.Warnings[0].Text != want {
		t.Errorf("warnings are %q, want %q", f.Warnings, want)
	}
}

func TestUnpackRefuses(t *testing.T) {
	good := rooted(`<rootfile full-path="a.xml"/>`)
	whole := pack(t, containerPath, good, "a.xml", tune)
	tests := []struct{ name, data, want string }{
		{"empty archive", pack(t), "this is a ZIP archive but not a compressed score, since it has no META-INF/container.xml; unpack it and name the score file in it"},
		{"bare archive", pack(t, "a.xml", tune), "this is a ZIP archive but not a compressed score, since it has no META-INF/container.xml; unpack it and name the score file in it"},
		{"cut short", whole[:len(whole)/2], "the archive is cut short or damaged; save or download it again"},
		{"only the mark", "PK\x03\x04", "the archive is cut short or damaged; save or download it again"},
		{"damaged score", corrupt(t, whole, "a.xml"), "a.xml in the archive is damaged; save or download it again"},
		{"container not XML", pack(t, containerPath, "root=a.xml<"), "META-INF/container.xml in the archive is not XML; export the score again"},
		{"container too deep", pack(t, containerPath, strings.Repeat("<a>", 300)), "META-INF/container.xml in the archive is not XML; export the score again"},
		{"no root file", pack(t, containerPath, rooted("")), "the archive names no score in META-INF/container.xml; export the score again"},
		{"other container", pack(t, containerPath, "<package/>"), "the archive names no score in META-INF/container.xml; export the score again"},
		{"missing score", pack(t, containerPath, good), `the archive does not hold the score that it names, "a.xml"; export the score again`},
		{"unnamed score", pack(t, containerPath, rooted(`<rootfile/>`)), `the archive names a score outside itself, ""; export the score again`},
		{"outside", pack(t, containerPath, rooted(`<rootfile full-path="../a.xml"/>`), "../a.xml", tune), `the archive names a score outside itself, "../a.xml"; export the score again`},
		{"outside by a detour", pack(t, containerPath, rooted(`<rootfile full-path="x/../../a.xml"/>`), "x/../../a.xml", tune), `the archive names a score outside itself, "x/../../a.xml"; export the score again`},
		{"absolute", pack(t, containerPath, rooted(`<rootfile full-path="/etc/a.xml"/>`), "/etc/a.xml", tune), `the archive names a score outside itself, "/etc/a.xml"; export the score again`},
		{"packed otherwise", packedAs(t, 99, good, tune, uint64(len(tune))), "a.xml in the archive is packed in a way that cannot be read here; save the score uncompressed"},
		{"false size", packedAs(t, zip.Store, good, tune, 1<<40), "a.xml in the archive is damaged; save or download it again"},
		{"an archive in an archive", pack(t, containerPath, good, "a.xml", whole), "this is not XML; export the score as MusicXML (.musicxml or .mxl)"},
		{"empty score", pack(t, containerPath, good, "a.xml", ""), "the file is empty; save or download it again"},
		{"larger than it says", packedAs(t, zip.Deflate, good, spaces(t, 1), 100), "a.xml in the archive is damaged; save or download it again"},
		{"past 256 MiB", packedAs(t, zip.Deflate, good, spaces(t, 257), 257<<20), "the score is larger than 256 MiB; split it into movements"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(test.data), "odd.mxl")
			if want := "odd.mxl: " + test.want; err == nil || err.Error() != want {
				t.Errorf("error: %v\n want: %s", err, want)
			}
		})
	}
}

// corrupt changes the packed bytes of one file in an archive.
func corrupt(t *testing.T, archive, name string) string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(archive), int64(len(archive)))
	if err != nil {
		t.Fatal(err)
	}
	data := []byte(archive)
	for _, m := range z.File {
		if m.Name == name {
			at, err := m.DataOffset()
			if err != nil {
				t.Fatal(err)
			}
			binary.BigEndian.PutUint64(data[at+8:], 0xdeadbeefdeadbeef)
		}
	}
	return string(data)
}

// packedAs is an archive whose score is as packed, and has a header that need
// not be true.
func packedAs(t *testing.T, method uint16, container, packed string, size uint64) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	c, err := z.Create(containerPath)
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(c, container)
	w, err := z.CreateRaw(&zip.FileHeader{
		Name: "a.xml", Method: method, CRC32: crc32.ChecksumIEEE([]byte(tune)),
		CompressedSize64: uint64(len(packed)), UncompressedSize64: size,
	})
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(w, packed)
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// spaces is so many MiB of spaces, deflated: one MiB, flushed, many times over.
func spaces(t *testing.T, mib int) string {
	t.Helper()
	var one bytes.Buffer
	w, err := flate.NewWriter(&one, flate.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	w.Write(bytes.Repeat([]byte(" "), 1<<20))
	w.Flush()
	many := strings.Repeat(one.String(), mib)
	one.Reset()
	w.Close()
	return many + one.String()
}
