package musicxml

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"golang.org/x/text/encoding/unicode"
)

// FuzzRead wants no panic and no hang from any bytes, and of whatever is read
// as a score that it survives being written.
func FuzzRead(f *testing.F) {
	seeds := []string{
		tune, odd, laughs, "MThd", "\ufeff" + tune, "\xff\xfe<\x00", "<?xml version='1.0' encoding='latin1'?>" + tune,
		strings.Repeat("<score-partwise>", maxDepth+1),
		ensemble(player{name: "Voice", clef: "G"}, player{name: "Piano", clef: "GF"}),
		`<score-timewise><measure number="1"><part id="P1"><note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note></part></measure></score-timewise>`,
		`<score-partwise><part id="P1"><measure><attributes><divisions>0</divisions></attributes><backup><duration>-1</duration></backup>` +
			`<note><rest/><duration>1e99</duration></note><note><grace/><pitch/><tie type="start"/></note></measure></part></score-partwise>`,
		pack(f, containerPath, rooted(`<rootfile full-path="a.xml"/>`), "a.xml", tune),
	}
	if wide, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(tune); err == nil {
		seeds = append(seeds, wide)
	}
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	for _, path := range realScores(f) {
		if info, err := os.Stat(path); err == nil && info.Size() < 8_000 {
			if data, err := os.ReadFile(path); err == nil {
				f.Add(data)
			}
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Read(bytes.NewReader(data), "fuzz.xml")
		if err != nil {
			if !strings.HasPrefix(err.Error(), "fuzz.xml: ") {
				t.Errorf("the error does not name the file: %v", err)
			}
			return
		}
		again, err := Read(strings.NewReader(written(t, file)), "again.xml")
		if err != nil {
			t.Fatal("what was written cannot be read:", err)
		}
		if where := same(&file.Doc.Element, &again.Doc.Element); where != "" {
			t.Error("written and read again, the tree differs at", where)
		}
		if s, err := file.Score(Options{}); err == nil && len(s.Bars) == 0 {
			t.Error("a score without bars")
		}
	})
}
