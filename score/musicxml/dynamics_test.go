package musicxml

import (
	"fmt"
	"testing"

	"hardbars/score"
)

func describeDynamics(s *score.Score) []string {
	var out []string
	for _, d := range s.Dynamics {
		out = append(out, fmt.Sprintf("%s %s %s", place(s, d.At), d.Hand, d.Mark))
	}
	return out
}

func describeHairpins(s *score.Score) []string {
	var out []string
	for _, x := range s.Hairpins {
		name := "dim"
		if x.Growing {
			name = "cresc"
		}
		out = append(out, fmt.Sprintf("%s to %s %s %s", place(s, x.From), place(s, x.To), x.Hand, name))
	}
	return out
}

func dyn(staff int, placement, mark string) string {
	return dir(staff, placement, kind(`<dynamics><`+mark+`/></dynamics>`), "")
}

// Piano practice: between the staves is for both hands, outside for the nearer one.
func TestWhomADynamicIsFor(t *testing.T) {
	for _, c := range []struct {
		name string
		xml  string
		want []string
	}{
		{"below the upper staff", dyn(1, "below", "p"), []string{"2+0 both p"}},
		{"above the lower staff", dyn(2, "above", "p"), []string{"2+0 both p"}},
		{"below the lower staff", dyn(2, "below", "p"), []string{"2+0 left p"}},
		{"above the upper staff", dyn(1, "above", "p"), []string{"2+0 right p"}},
		{"one for each hand", dyn(1, "below", "f") + dyn(2, "below", "p"), []string{"2+0 right f", "2+0 left p"}},
		{"one for each hand between the staves", dyn(1, "below", "f") + dyn(2, "above", "p"), []string{"2+0 right f", "2+0 left p"}},
		{"above and below the upper staff", dyn(1, "above", "f") + dyn(1, "below", "p"), []string{"2+0 right f", "2+0 left p"}},
		{"the same for each", dyn(1, "below", "f") + dyn(2, "below", "f"), []string{"2+0 both f"}},
		{"no placement, a position", `<direction>` + kind(`<dynamics default-y="25"><p/></dynamics>`) + `<staff>1</staff></direction>`, []string{"2+0 right p"}},
		{"no placement, a low position", `<direction>` + kind(`<dynamics default-y="-75"><p/></dynamics>`) + `<staff>1</staff></direction>`, []string{"2+0 both p"}},
		{"no staff", `<direction>` + kind(`<dynamics><p/></dynamics>`) + `</direction>`, []string{"2+0 both p"}},
		{"words above the music", words("sempre pp"), []string{"2+0 both pp"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := read(t, "4/4", 2, sign{1, "0", dyn(1, "below", "mf")}, sign{2, "0", c.xml})
			check(t, describeDynamics(s), append([]string{"1+0 both mf"}, c.want...))
		})
	}
}

// Marks that only ever stand on one side hold for both hands.
func TestDynamicsOfOneSideOnly(t *testing.T) {
	s := read(t, "4/4", 2, sign{1, "0", dyn(2, "below", "p")}, sign{2, "0", dyn(2, "below", "f")})
	check(t, describeDynamics(s), []string{"1+0 both p", "2+0 both f"})
}

func TestDynamicMarks(t *testing.T) {
	for mark, want := range map[string]string{
		"<p/>": "p", "<pp/>": "pp", "<ppp/>": "ppp", "<pppp/>": "pppp", "<ppppp/>": "ppppp", "<pppppp/>": "pppppp",
		"<f/>": "f", "<ff/>": "ff", "<fff/>": "fff", "<ffff/>": "ffff", "<fffff/>": "fffff", "<ffffff/>": "ffffff",
		"<mp/>": "mp", "<mf/>": "mf", "<n/>": "n", "<pf/>": "mf",
		"<fp/>": "p", "<sfp/>": "p", "<sfpp/>": "pp", "<sfzp/>": "p", "<sf/><mp/>": "mp",
		"<sf/>": "", "<sfz/>": "", "<sffz/>": "", "<fz/>": "", "<rf/>": "", "<rfz/>": "",
		"<other-dynamics>sempre pp</other-dynamics>": "pp", "<other-dynamics>più f</other-dynamics>": "ff", "<other-dynamics>sfffz</other-dynamics>": "",
		"<other-dynamics>&#xE521;&#xE522;</other-dynamics>": "mf",
	} {
		s := read(t, "4/4", 2, sign{1, "0", dyn(1, "below", "f")}, sign{2, "0", dir(1, "below", kind(`<dynamics>`+mark+`</dynamics>`), "")})
		got := s.DynamicAt(score.Left, score.Int(5))
		if want == "" && (got != "f" || len(s.Words) != 1) {
			t.Errorf("%s leaves %q in force and the words %v, want f and the accent", mark, got, s.Words)
		}
		if want != "" && got != want {
			t.Errorf("%s leaves %q in force, want %q", mark, got, want)
		}
	}
}

func TestDynamicsInWords(t *testing.T) {
	for text, want := range map[string]string{
		"pianissimo": "pp", "sempre pianissimo e senza sordini": "pp", "sempre pp": "pp", "pp e rall.": "pp", "p dolce": "p", "fortissimo": "ff", "subito p": "p",
		"mezzo forte": "mf", "poco f": "mf", "sotto voce": "p", "mezza voce": "mp", "più f": "f", "meno f": "mp", "più piano": "mp", "il basso sempre forte": "f",
		"dolce": "mf", "Piano": "mf", "con forza": "mf", "F": "mf", "l'p": "mf", "pianoforte": "mf", "un pochettino": "mf",
	} {
		s := read(t, "4/4", 2, sign{1, "0", dyn(1, "below", "mf")}, sign{2, "0", words(text)})
		if got := s.DynamicAt(score.Right, score.Int(4)); got != want {
			t.Errorf("after mf, %q leaves %q in force, want %q", text, got, want)
		}
	}
	s := read(t, "4/4", 1, sign{1, "0", dyn(1, "below", "pp") + words("sotto voce")})
	check(t, describeDynamics(s), []string{"1+0 both pp"})
}

// An offset that passes no note only moves the sign on the page; one that does
// puts the dynamic where it stands.
func TestDynamicMoved(t *testing.T) {
	moved := func(ticks int) string {
		return fmt.Sprintf(`<direction placement="below">`+kind(`<dynamics><p/></dynamics>`)+`<offset>%d</offset><staff>1</staff></direction>`, ticks)
	}
	for ticks, want := range map[int]string{-3: "1+1", -4: "1+1", 3: "1+1", 4: "1+2", 6: "1+5/2"} {
		s := read(t, "4/4", 1, sign{1, "1", moved(ticks)})
		check(t, describeDynamics(s), []string{want + " both p"})
	}
}

func TestHairpins(t *testing.T) {
	wedge := func(staff int, placement, kindOf, number string) string {
		return dir(staff, placement, kind(`<wedge type="`+kindOf+`"`+number+`/>`), "")
	}
	for _, c := range []struct {
		name  string
		signs []sign
		want  []string
	}{
		{"one after the other", []sign{{1, "0", wedge(1, "below", "crescendo", "")}, {1, "2", wedge(1, "below", "stop", "")}, {1, "2", wedge(1, "below", "diminuendo", "")}, {2, "1", wedge(1, "below", "stop", "")}},
			[]string{"1+0 to 1+2 both cresc", "1+2 to 2+1 both dim"}},
		{"the next before the stop in the file", []sign{{1, "0", wedge(1, "below", "crescendo", "")}, {1, "2", wedge(1, "below", "diminuendo", "")}, {1, "2", wedge(1, "below", "stop", "")}, {2, "1", wedge(1, "below", "stop", "")}},
			[]string{"1+0 to 1+2 both cresc", "1+2 to 2+1 both dim"}},
		{"the stop before the start in the file", []sign{{1, "3", wedge(1, "below", "stop", "")}, {1, "0", wedge(1, "below", "crescendo", "")}},
			[]string{"1+0 to 1+3 both cresc"}},
		{"by number", []sign{{1, "0", wedge(1, "below", "crescendo", ` number="1"`)}, {1, "1", wedge(1, "above", "diminuendo", ` number="2"`)}, {1, "2", wedge(1, "below", "stop", ` number="1"`)}, {1, "3", wedge(1, "above", "stop", ` number="2"`)}},
			[]string{"1+0 to 1+2 both cresc", "1+1 to 1+3 right dim"}},
		{"overlapping under one number", []sign{{1, "0", wedge(1, "below", "crescendo", "")}, {1, "2", wedge(1, "below", "diminuendo", "")}, {1, "3", wedge(1, "below", "stop", "")}, {2, "0", wedge(1, "below", "stop", "")}},
			[]string{"1+0 to 1+2 both cresc", "1+2 to 1+3 both dim"}},
		{"for the left hand, ended on the other staff", []sign{{1, "0", wedge(2, "below", "crescendo", "")}, {2, "0", wedge(1, "below", "stop", "")}},
			[]string{"1+0 to 2+0 left cresc"}},
		{"without an end", []sign{{1, "1", wedge(1, "below", "crescendo", "")}}, []string{"1+1 to 2+0 both cresc"}},
	} {
		t.Run(c.name, func(t *testing.T) { check(t, describeHairpins(read(t, "4/4", 2, c.signs...)), c.want) })
	}
}

func TestHairpinsInWords(t *testing.T) {
	s := read(t, "4/4", 3,
		sign{1, "0", dir(1, "below", kind(`<words>cresc.</words>`)+kind(`<dashes type="start"/>`), "")},
		sign{2, "0", dir(1, "below", kind(`<dashes type="stop"/>`), "")},
		sign{2, "2", dir(1, "below", kind(`<dynamics><other-dynamics>dim.</other-dynamics></dynamics>`), "")},
		sign{3, "0", words("morendo")},
		sign{3, "2", dir(2, "below", kind(`<words>poco a poco decresc.</words>`), "")},
	)
	check(t, describeHairpins(s), []string{"1+0 to 2+0 both cresc", "2+2 to 2+2 both dim", "3+0 to 3+0 both dim", "3+2 to 3+2 left dim"})
	if len(s.Words) > 0 {
		t.Errorf("words %v are hairpins", s.Words)
	}
	for text, growing := range map[string]bool{"cresc.": true, "crescendo molto": true, "sempre più forte": true, "dim.": false, "dimin.": false, "decrescendo": false,
		"smorzando": false, "perdendosi": false, "calando": false, "sempre più dim.": false, "sempre più piano": false} {
		if got, ok := newPhrase(text).hairpin(); !ok || got != growing {
			t.Errorf("%q: a hairpin %v, growing %v", text, ok, got)
		}
	}
	for _, text := range []string{"dimenticato", "dolce", "più f"} {
		if _, ok := newPhrase(text).hairpin(); ok {
			t.Errorf("%q is read as a hairpin", text)
		}
	}
}
