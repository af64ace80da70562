package musicxml

import (
	"fmt"
	"strings"
	"testing"
)

func TestPartsInBothLayouts(t *testing.T) {
	const list = `<part-list><score-part id="P0"><part-name>Silent</part-name></score-part>` +
		`<part-group type="start" number="1"><group-name>Piano</group-name></part-group>` +
		`<score-part id="P1"><part-name>Right
			hand</part-name></score-part><part-group type="stop" number="1"/>` +
		`<score-part id="P2"/></part-list>`
	const partwise = `<score-partwise>` + list +
		`<part id="P1"><measure number="1"><note id="a"/></measure><measure number="X2"><note id="b"/></measure></part>` +
		`<part id="P2"><measure number="1"><note id="c"/></measure><measure number="X2"><note id="d"/></measure></part>` +
		`<part id="P9"><measure number="1"><note id="e"/></measure><measure number="X2"><note id="f"/></measure></part></score-partwise>`
	const timewise = `<score-timewise>` + list +
		`<measure number="1"><part id="P1"><note id="a"/></part><part id="P2"><note id="c"/></part><part id="P9"><note id="e"/></part></measure>` +
		`<measure number="X2"><part id="P9"><note id="f"/></part><part id="P1"><note id="b"/></part><part id="P2"><note id="d"/></part></measure></score-timewise>`
	want := []string{"P1 (Right hand) in [Piano]: 1 a, X2 b", "P2 (no name) in []: 1 c, X2 d", "P9 (no name) in []: 1 e, X2 f"}
	for _, text := range []string{partwise, timewise} {
		if got := describe(mustRead(t, text).parts()); strings.Join(got, "\n") != strings.Join(want, "\n") {
			t.Errorf("parts are %q, want %q", got, want)
		}
	}
}

func TestTimewiseMeasuresMayLackParts(t *testing.T) {
	got := describe(mustRead(t, `<score-timewise><measure number="1"><part id="P1"><note id="a"/></part></measure>`+
		`<measure number="2"/><measure number="3"><part id="P2"><note id="b"/></part></measure></score-timewise>`).parts())
	want := []string{"P1 (no name) in []: 1 a, 2 nothing, 3 nothing", "P2 (no name) in []: 1 nothing, 2 nothing, 3 b"}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("parts are %q, want %q", got, want)
	}
}

func describe(parts []partView) []string {
	var all []string
	for _, p := range parts {
		var measures []string
		for _, m := range p.measures {
			note := "nothing"
			if m.content != nil {
				note = m.content.SelectElement("note").SelectAttrValue("id", "")
			}
			measures = append(measures, m.elem.SelectAttrValue("number", "")+" "+note)
		}
		all = append(all, fmt.Sprintf("%s in %v: %s", p, p.groups, strings.Join(measures, ", ")))
	}
	return all
}
