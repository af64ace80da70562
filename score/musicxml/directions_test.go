package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
)

// sign is a piece of a small score: MusicXML that stands so many quarters into
// a bar, which counts from 1.
type sign struct {
	bar      int
	quarters string
	xml      string
}

// page is a score for piano in two staves: quarter notes above, a whole bar's
// note below, with signs among them. Time is "4/4"; divisions are 4.
func page(t testing.TB, time string, bars int, signs ...sign) string {
	t.Helper()
	var beats, unit int
	if _, err := fmt.Sscanf(time, "%d/%d", &beats, &unit); err != nil {
		t.Fatalf("time %q: %v", time, err)
	}
	note := func(step string, octave, length, voice, staff int) string {
		return fmt.Sprintf(`<note><pitch><step>%s</step><octave>%d</octave></pitch><duration>%d</duration><voice>%d</voice><staff>%d</staff></note>`, step, octave, length, voice, staff)
	}
	full := 16 * beats / unit
	var b strings.Builder
	b.WriteString(`<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1">`)
	for bar := 1; bar <= bars; bar++ {
		fmt.Fprintf(&b, `<measure number="%d">`, bar)
		if bar == 1 {
			fmt.Fprintf(&b, `<attributes><divisions>4</divisions><time><beats>%d</beats><beat-type>%d</beat-type></time><staves>2</staves></attributes>`, beats, unit)
		}
		for _, s := range signs {
			if s.bar != bar {
				continue
			}
			at, err := score.ParseRat(s.quarters)
			if err != nil || at.Mul(score.Int(4)).Den() != 1 {
				t.Fatalf("place %q: %v", s.quarters, err)
			}
			if ticks := at.Mul(score.Int(4)).Num(); ticks > 0 {
				fmt.Fprintf(&b, `<forward><duration>%d</duration></forward>%s<backup><duration>%d</duration></backup>`, ticks, s.xml, ticks)
			} else {
				b.WriteString(s.xml)
			}
		}
		for i := 0; i < full; i += 4 {
			b.WriteString(note("C", 5, min(4, full-i), 1, 1))
		}
		fmt.Fprintf(&b, `<backup><duration>%d</duration></backup>%s</measure>`, full, note("C", 3, full, 2, 2))
	}
	return b.String() + `</part></score-partwise>`
}

// read is the score of a page.
func read(t testing.TB, time string, bars int, signs ...sign) *score.Score {
	t.Helper()
	f, err := Read(strings.NewReader(page(t, time, bars, signs...)), "page.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// dir is a direction of a staff, with what is in its <direction-type>s and what follows them.
func dir(staff int, placement, types, more string) string {
	return fmt.Sprintf(`<direction placement="%s">%s<staff>%d</staff>%s</direction>`, placement, types, staff, more)
}

func kind(inner string) string { return `<direction-type>` + inner + `</direction-type>` }

// words are words above the right hand's staff.
func words(text string) string { return dir(1, "above", kind(`<words>`+text+`</words>`), "") }

func place(s *score.Score, at score.Rat) string {
	bar := s.Bars[s.BarAt(at)]
	return bar.Number + "+" + at.Sub(bar.Start).String()
}

func check(t *testing.T, got, want []string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("got:\n\t%s\nwant:\n\t%s", strings.Join(got, "\n\t"), strings.Join(want, "\n\t"))
	}
}

func warnings(s *score.Score) string {
	var all []string
	for _, w := range s.Warnings {
		all = append(all, w.String())
	}
	return strings.Join(all, "\n")
}

func describeWords(s *score.Score) []string {
	var out []string
	for _, w := range s.Words {
		out = append(out, fmt.Sprintf("%s staff %d %s", place(s, w.At), w.Staff, w.Text))
	}
	return out
}

func TestWordsLeftOver(t *testing.T) {
	s := read(t, "4/4", 2,
		sign{1, "0", words("Allegro") + words("dolce ")},
		sign{1, "1", dir(2, "below", kind(`<words>m.s.</words>`), "")},
		sign{1, "2", dir(1, "below", kind(`<words>con</words><words> grazia</words>`), "")},
		sign{1, "3", dir(1, "above", kind(`<words print-object="no">secret</words>`), "")},
		sign{2, "0", dir(1, "above", kind(`<rehearsal>B</rehearsal>`), "") + words("  ")},
		sign{2, "1", dir(1, "above", kind(`<words>(</words><words>&#xE52B;</words><words>)</words>`), "")},
		sign{2, "2", dir(1, "above", kind(`<words>l.h. over</words>`)+kind(`<symbol>segno</symbol>`), "")},
	)
	check(t, describeWords(s), []string{"1+0 staff 1 dolce", "1+1 staff 2 m.s.", "1+2 staff 1 con grazia", "2+0 staff 1 B"})
	if d := s.Dynamics; len(d) != 1 || d[0].Mark != "pp" || place(s, d[0].At) != "2+1" {
		t.Errorf("the glyph of a music font is not read as pp: %v", d)
	}
	if j := s.Bars[1].Jumps; !slices.Equal(j, []string{"segno"}) {
		t.Errorf("bar 2 has jumps %v, want a segno", j)
	}
}

// A second staff's direction can come first in the file.
func TestOrderIsByPlace(t *testing.T) {
	s := read(t, "4/4", 1, sign{1, "3", words("late")}, sign{1, "1", words("early")})
	check(t, describeWords(s), []string{"1+1 staff 1 early", "1+3 staff 1 late"})
}

// MusicXML 4.0, complexType offset: it moves the sign; the sound only where it says so.
func TestOffsets(t *testing.T) {
	offset := func(sound string) string {
		return `<direction>` + kind(`<words>Presto</words>`) + `<offset` + sound + `>8</offset><sound tempo="180"/></direction>`
	}
	own := `<direction>` + kind(`<words>Presto</words>`) + `<offset>8</offset><sound tempo="180"><offset>4</offset></sound></direction>`
	alone := `<sound tempo="180"><offset>12</offset></sound>`
	for _, c := range []struct{ xml, want string }{
		{offset(``), "2+0"},
		{offset(` sound="no"`), "2+0"},
		{offset(` sound="yes"`), "2+2"},
		{own, "2+1"},
		{alone, "2+3"},
	} {
		s := read(t, "4/4", 2, sign{1, "0", `<sound tempo="60"/>`}, sign{2, "0", c.xml})
		if last := s.Tempos[len(s.Tempos)-1]; len(s.Tempos) != 2 || place(s, last.At) != c.want {
			t.Errorf("%s\ntempos %v, want the second at %s", c.xml, s.Tempos, c.want)
		}
	}
	moved := `<direction placement="below">` + kind(`<pedal type="%s"/>`) + `<offset>%d</offset><staff>2</staff></direction>`
	s := read(t, "4/4", 1, sign{1, "0", fmt.Sprintf(moved, "start", 2) + fmt.Sprintf(moved, "stop", 10)})
	check(t, describePedals(s), []string{"damper 1+1/2 to 1+5/2"})
}

// The directions of the part above the piano are only good for their tempo.
func TestTempoOfAnotherPart(t *testing.T) {
	piano := page(t, "4/4", 1)
	voice := `<part id="V"><measure number="1"><attributes><divisions>1</divisions></attributes><direction>` + kind(`<words>Adagio</words>`) + `</direction>` +
		`<direction>` + kind(`<dynamics><ff/></dynamics>`) + `</direction><direction>` + kind(`<words>parlando</words>`) + `</direction>` +
		`<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note></measure></part>`
	text := strings.Replace(piano, `<part-list>`, `<part-list><score-part id="V"><part-name>Voice</part-name></score-part>`, 1)
	text = strings.Replace(text, `<part id="P1">`, voice+`<part id="P1">`, 1)
	s, err := mustRead(t, text).Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Tempos[0]; got.Text != "Adagio" || got.From != score.FromWords {
		t.Errorf("tempo %+v, want the voice's Adagio", got)
	}
	if len(s.Dynamics) > 0 || len(s.Words) > 0 {
		t.Errorf("dynamics %v and words %v are the voice's", s.Dynamics, s.Words)
	}
}
