package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

func describePedals(s *score.Score) []string {
	var out []string
	for _, p := range s.Pedals {
		text := fmt.Sprintf("%s %s to %s", p.Kind, place(s, p.From), place(s, p.To))
		if p.AdLib {
			text += " ad lib"
		}
		for _, c := range p.Changes {
			text += " | " + place(s, c.Lift)
			if c.Press != c.Lift {
				text += "–" + place(s, c.Press)
			}
		}
		out = append(out, text)
	}
	return out
}

func pedal(kindOf string) string {
	return dir(2, "below", kind(`<pedal type="`+kindOf+`"/>`), "")
}

func pedalSound(attrs string) string { return `<sound ` + attrs + `/>` }

func TestPedals(t *testing.T) {
	for _, c := range []struct {
		name  string
		signs []sign
		want  []string
	}{
		{"down and up", []sign{{1, "0", pedal("start")}, {1, "3", pedal("stop")}}, []string{"damper 1+0 to 1+3"}},
		{"changed by stop and start", []sign{{1, "0", pedal("start")}, {1, "2", pedal("stop")}, {1, "2", pedal("start")}, {2, "0", pedal("stop")}},
			[]string{"damper 1+0 to 2+0 | 1+2"}},
		{"changed by start and stop", []sign{{1, "0", pedal("start")}, {1, "2", pedal("start")}, {1, "2", pedal("stop")}, {2, "0", pedal("stop")}},
			[]string{"damper 1+0 to 2+0 | 1+2"}},
		{"changed by a sign", []sign{{1, "0", pedal("start")}, {1, "2", pedal("change")}, {2, "0", pedal("stop")}}, []string{"damper 1+0 to 2+0 | 1+2"}},
		{"changed by a press alone", []sign{{1, "0", pedal("start")}, {1, "2", pedal("start")}, {2, "0", pedal("stop")}}, []string{"damper 1+0 to 2+0 | 1+2"}},
		{"lifted just before", []sign{{1, "0", pedal("start")}, {1, "3", pedal("stop")}, {2, "0", pedal("start")}, {2, "1", pedal("stop")}},
			[]string{"damper 1+0 to 2+1 | 1+3–2+0"}},
		{"lifted for longer", []sign{{1, "0", pedal("start")}, {1, "11/4", pedal("stop")}, {2, "0", pedal("start")}, {2, "1", pedal("stop")}},
			[]string{"damper 1+0 to 1+11/4", "damper 2+0 to 2+1"}},
		{"a line over a system break", []sign{{1, "0", pedal("start")}, {2, "0", pedal("continue")}, {2, "2", pedal("stop")}}, []string{"damper 1+0 to 2+2"}},
		{"a line with a gap", []sign{{1, "0", pedal("start")}, {1, "2", pedal("discontinue")}, {2, "0", pedal("resume")}, {2, "2", pedal("stop")}}, []string{"damper 1+0 to 2+2"}},
		{"a line after the word", []sign{{1, "0", dir(2, "below", kind(`<words>Ped.</words>`), "")}, {1, "1", pedal("resume")}, {2, "2", pedal("stop")}}, []string{"damper 1+0 to 2+2"}},
		{"a line that only ends", []sign{{1, "0", pedal("start")}, {1, "2", pedal("discontinue")}, {2, "0", pedal("start")}, {2, "2", pedal("stop")}}, []string{"damper 1+0 to 1+2", "damper 2+0 to 2+2"}},
		{"a lift from nowhere", []sign{{1, "0", pedal("stop")}, {1, "1", pedal("start")}, {1, "2", pedal("stop")}, {1, "3", pedal("stop")}}, []string{"damper 1+1 to 1+2"}},
		{"on both staves", []sign{{1, "0", pedal("start") + dir(1, "below", kind(`<pedal type="start"/>`), "")}, {1, "3", pedal("stop")}}, []string{"damper 1+0 to 1+3"}},
		{"the sostenuto pedal", []sign{{1, "0", pedal("sostenuto")}, {1, "3", pedal("stop")}}, []string{"sostenuto 1+0 to 1+3"}},
		{"both, told apart by number", []sign{
			{1, "0", dir(2, "below", kind(`<pedal type="start" number="1"/>`), "")}, {1, "1", dir(2, "below", kind(`<pedal type="sostenuto" number="2"/>`), "")},
			{1, "2", dir(2, "below", kind(`<pedal type="stop" number="2"/>`), "")}, {1, "3", dir(2, "below", kind(`<pedal type="stop" number="1"/>`), "")}},
			[]string{"damper 1+0 to 1+3", "sostenuto 1+1 to 1+2"}},
		{"hidden", []sign{{1, "0", dir(2, "below", kind(`<pedal type="start" print-object="no"/>`), "")}}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := read(t, "4/4", 2, c.signs...)
			check(t, describePedals(s), c.want)
			if w := warnings(s); strings.Contains(w, "pedal") {
				t.Errorf("warnings: %s", w)
			}
		})
	}
}

func TestPedalSounds(t *testing.T) {
	for _, c := range []struct {
		name  string
		signs []sign
		want  []string
	}{
		{"all three", []sign{{1, "0", pedalSound(`damper-pedal="yes" soft-pedal="yes"`)}, {1, "1", pedalSound(`sostenuto-pedal="100"`)}, {1, "3", pedalSound(`damper-pedal="no" soft-pedal="0" sostenuto-pedal="no"`)}},
			[]string{"damper 1+0 to 1+3", "soft 1+0 to 1+3", "sostenuto 1+1 to 1+3"}},
		{"in a direction", []sign{{1, "0", `<direction>` + kind(`<words>dolce</words>`) + `<sound damper-pedal="yes"/></direction>`}, {2, "0", pedalSound(`damper-pedal="no"`)}},
			[]string{"damper 1+0 to 2+0"}},
		{"by how far it is down", []sign{{1, "0", pedalSound(`damper-pedal="90"`)}, {1, "1", pedalSound(`damper-pedal="60"`)}, {1, "2", pedalSound(`damper-pedal="49"`)}, {2, "0", pedalSound(`damper-pedal="50"`)}, {2, "2", pedalSound(`damper-pedal="10"`)}},
			[]string{"damper 1+0 to 1+2", "damper 2+0 to 2+2"}},
		{"changed", []sign{{1, "0", pedalSound(`damper-pedal="yes"`)}, {1, "2", pedalSound(`damper-pedal="no"`)}, {1, "9/4", pedalSound(`damper-pedal="yes"`)}, {2, "0", pedalSound(`damper-pedal="no"`)}},
			[]string{"damper 1+0 to 2+0 | 1+2–1+9/4"}},
		{"doubling the sign of its direction", []sign{{1, "0", dir(2, "below", kind(`<pedal type="start"/>`), `<sound damper-pedal="yes"/>`)}, {1, "2", dir(2, "below", kind(`<pedal type="change"/>`), `<sound damper-pedal="yes"/>`)}, {2, "0", dir(2, "below", kind(`<pedal type="stop"/>`), `<sound damper-pedal="no"/>`)}},
			[]string{"damper 1+0 to 2+0 | 1+2"}},
		{"played a little after the sign", []sign{{1, "0", pedal("start")}, {1, "1/4", pedalSound(`damper-pedal="yes"`)}, {1, "3", pedal("stop")}, {1, "7/2", pedalSound(`damper-pedal="no"`)}},
			[]string{"damper 1+0 to 1+3"}},
		{"no number", []sign{{1, "0", pedalSound(`damper-pedal="maybe"`)}}, nil},
	} {
		t.Run(c.name, func(t *testing.T) { check(t, describePedals(read(t, "4/4", 2, c.signs...)), c.want) })
	}
}

func TestPedalsInWords(t *testing.T) {
	below := func(text string) string { return dir(2, "below", kind(`<words>`+text+`</words>`), "") }
	for _, c := range []struct {
		name  string
		signs []sign
		want  []string
	}{
		{"Ped. and star", []sign{{1, "0", below("Ped.")}, {1, "2", below("*")}}, []string{"damper 1+0 to 1+2"}},
		{"star and Ped. in one", []sign{{1, "0", below("Ped")}, {1, "2", below("* Ped.")}, {1, "3", below("*")}}, []string{"damper 1+0 to 1+3 | 1+2"}},
		{"glyphs", []sign{{1, "0", below("&#xE650;")}, {1, "2", below("&#xE655;")}, {2, "0", below("&#x1D1AE;")}, {2, "1", below("&#x1D1AF;")}}, []string{"damper 1+0 to 1+2", "damper 2+0 to 2+1"}},
		{"con pedale", []sign{{1, "1", below("con pedale")}}, []string{"damper 1+1 to 2+4 ad lib"}},
		{"con pedale until senza", []sign{{1, "1", below("con Ped.")}, {2, "1", below("senza Ped.")}}, []string{"damper 1+1 to 2+1 ad lib"}},
		{"col pedale until a sign", []sign{{1, "1", below("col Ped.")}, {2, "0", pedal("start")}, {2, "1", pedal("stop")}}, []string{"damper 1+1 to 2+0 ad lib", "damper 2+0 to 2+1"}},
		{"con pedale under a sign", []sign{{1, "0", pedal("start") + words("con pedale")}, {1, "2", pedal("stop")}}, []string{"damper 1+0 to 1+2 ad lib"}},
		{"as before", []sign{{1, "0", pedal("start")}, {1, "2", pedal("stop")}, {1, "2", below("Ped. simile")}, {2, "2", below("senza pedale")}}, []string{"damper 1+0 to 1+2", "damper 1+2 to 2+2 ad lib"}},
		{"una corda", []sign{{1, "0", below("una corda")}, {1, "2", below("u.c.")}, {2, "2", below("tre corde")}}, []string{"soft 1+0 to 2+2"}},
		{"in short", []sign{{1, "0", below("U.C.")}, {2, "2", below("t.c.")}}, []string{"soft 1+0 to 2+2"}},
		{"the middle pedal", []sign{{1, "0", below("Sost. Ped.")}, {1, "2", below("*")}}, []string{"sostenuto 1+0 to 1+2"}},
		{"raised dampers", []sign{{1, "0", words("senza sordini")}, {2, "0", words("con sordini")}}, []string{"damper 1+0 to 2+0 ad lib"}},
		{"two pedals", []sign{{1, "0", below("2 Ped.")}, {2, "0", below("senza Ped.") + below("tre corde")}}, []string{"damper 1+0 to 2+0 ad lib", "soft 1+0 to 2+0"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := read(t, "4/4", 2, c.signs...)
			check(t, describePedals(s), c.want)
			if len(s.Words) > 0 {
				t.Errorf("words %v are about the pedal", s.Words)
			}
		})
	}
	for _, text := range []string{"p", "P", "simile", "sempre", "pedantic", "S.", "corda", "sopra"} {
		if steps := newPhrase(text).steps(); steps != nil {
			t.Errorf("%q is read as %v", text, steps)
		}
	}
}

func TestPedalNeverLifted(t *testing.T) {
	s := read(t, "4/4", 3, sign{1, "0", pedal("start")}, sign{2, "2", pedal("start")})
	check(t, describePedals(s), []string{"damper 1+0 to 3+4 | 2+2"})
	if w := warnings(s); !strings.Contains(w, "bar 2: the damper pedal goes down and is never lifted; it is taken as held to the end") {
		t.Errorf("warnings: %s", w)
	}
}
