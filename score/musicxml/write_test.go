package musicxml

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/beevik/etree"
)

// same tells where two trees differ, "" where they do not.
func same(a, b *etree.Element) string {
	if a.FullTag() != b.FullTag() || len(a.Attr) != len(b.Attr) || len(a.Child) != len(b.Child) {
		return a.GetPath() + " and " + b.GetPath()
	}
	for i, attr := range a.Attr {
		if other := b.Attr[i]; attr.FullKey() != other.FullKey() || attr.Value != other.Value {
			return a.GetPath() + ": attribute " + attr.FullKey()
		}
	}
	for i, child := range a.Child {
		if where := sameToken(child, b.Child[i]); where != "" {
			return a.GetPath() + ": " + where
		}
	}
	return ""
}

func sameToken(a, b etree.Token) string {
	equal := false
	switch a := a.(type) {
	case *etree.Element:
		if b, ok := b.(*etree.Element); ok {
			return same(a, b)
		}
	case *etree.CharData:
		b, ok := b.(*etree.CharData)
		equal = ok && a.Data == b.Data && a.IsCData() == b.IsCData()
	case *etree.Comment:
		b, ok := b.(*etree.Comment)
		equal = ok && a.Data == b.Data
	case *etree.Directive:
		b, ok := b.(*etree.Directive)
		equal = ok && a.Data == b.Data
	case *etree.ProcInst:
		b, ok := b.(*etree.ProcInst)
		equal = ok && a.Target == b.Target && a.Inst == b.Inst
	}
	if !equal {
		return "a token differs"
	}
	return ""
}

// Everything here that XML lets differ is already as it is written: text and
// attributes escaped no more than needed, empty elements closed at once.
const odd = `<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<?xml-stylesheet type="text/xsl" href="a.xsl"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd" [
<!ENTITY unused "text > with 'quotes'">
]>
<!-- before -->
<score-partwise xmlns:xlink="http://www.w3.org/1999/xlink" version="4.0" zeta="1" alpha="a &amp; b &lt; &quot;c&quot; 'd' > e&#xA;f&#x9;g&#xD;h">
	<?engraver keep this?>
  <unknown-element xlink:href="x" x:y="z"><![CDATA[<b> & ]]></unknown-element>
  <credit><credit-words xml:space="preserve">  two   spaces "quoted" &amp; 'so' &lt; &#xD; ♭♯ é𝄞 </credit-words></credit>
  <!-- inside: < & -->
  <part-list/>
  <part id="P1"><measure number="1"/></part>
</score-partwise>
<!-- after -->
`

func TestWriteToKeepsEverything(t *testing.T) {
	if got := written(t, mustRead(t, odd)); got != odd {
		t.Errorf("written:\n%s\nwant:\n%s", got, odd)
	}
}

func TestWriteToCountsBytes(t *testing.T) {
	n, err := mustRead(t, odd).WriteTo(io.Discard)
	if n != int64(len(odd)) || err != nil {
		t.Errorf("%d bytes, %v; want %d", n, err, len(odd))
	}
}

// Line ends become line feeds, as XML 1.0, section 2.11, asks of every reader.
func TestLineEnds(t *testing.T) {
	f := mustRead(t, strings.ReplaceAll(tune, "\n", "\r\n"))
	if got := written(t, f); got != tune {
		t.Errorf("written %q, want %q", got, tune)
	}
}

func TestWriteMXL(t *testing.T) {
	f := mustRead(t, odd)
	var first, second bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &second} {
		if err := f.WriteMXL(b); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("written twice, the bytes differ")
	}
	again := mustRead(t, first.String())
	if where := same(&f.Doc.Element, &again.Doc.Element); where != "" {
		t.Error("read again, the tree differs at", where)
	}
	if len(again.Warnings) > 0 {
		t.Error("warnings:", again.Warnings)
	}
}

// MusicXML 4.0, "Compressed .mxl files": the mimetype comes first and
// uncompressed, without extra fields, so that the text begins at byte 30+8.
func TestMimetypeIsFirst(t *testing.T) {
	var b bytes.Buffer
	if err := mustRead(t, tune).WriteMXL(&b); err != nil {
		t.Fatal(err)
	}
	if got := b.String()[30:]; !strings.HasPrefix(got, "mimetypeapplication/vnd.recordare.musicxmlPK") {
		t.Errorf("at byte 30 stands %.60q", got)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, m := range z.File {
		names = append(names, m.Name)
	}
	if got := strings.Join(names, " "); got != "mimetype META-INF/container.xml score.musicxml" {
		t.Errorf("the archive holds %q", got)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWritingReportsAFullDisk(t *testing.T) {
	f := mustRead(t, tune)
	if _, err := f.WriteTo(full{}); err == nil {
		t.Error("WriteTo reports no error")
	}
	if err := f.WriteMXL(full{}); err == nil {
		t.Error("WriteMXL reports no error")
	}
}
