package musicxml

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardbars/score"
)

func describeTempos(s *score.Score) []string {
	var out []string
	for _, t := range s.Tempos {
		out = append(out, strings.TrimSpace(fmt.Sprintf("%s %.4g in %s by %s %s", place(s, t.At), t.QPM, t.Beat, t.From, t.Text)))
	}
	return out
}

// metronomeXML is a metronome mark for a unit such as "quarter" or "eighth.".
func metronomeXML(unit, perMinute, attrs string) string {
	return `<metronome` + attrs + `>` + beatUnit(unit) + `<per-minute>` + perMinute + `</per-minute></metronome>`
}

func beatUnit(unit string) string {
	name, dot := strings.CutSuffix(unit, ".")
	xml := `<beat-unit>` + name + `</beat-unit>`
	if dot {
		xml += `<beat-unit-dot/>`
	}
	return xml
}

func above(types string) string { return dir(1, "above", types, "") }

func TestMetronomeMarks(t *testing.T) {
	for _, c := range []struct{ unit, perMinute, attrs, want string }{
		{"quarter", "66", "", "1+0 66 in 1 by metronome ♩ = 66"},
		{"quarter.", "60", "", "1+0 90 in 3/2 by metronome ♩. = 60"},
		{"eighth", "120", "", "1+0 60 in 1/2 by metronome ♪ = 120"},
		{"half", "44", "", "1+0 88 in 2 by metronome half = 44"},
		{"half.", "60", "", "1+0 180 in 3 by metronome dotted half = 60"},
		{"quarter", "60–66", "", "1+0 63 in 1 by metronome ♩ = 60–66"},
		{"quarter", "60-66", "", "1+0 63 in 1 by metronome ♩ = 60-66"},
		{"quarter", "66 to 60", "", "1+0 63 in 1 by metronome ♩ = 66 to 60"},
		{"quarter", "ca. 66", "", "1+0 66 in 1 by metronome ♩ = ca. 66"},
		{"quarter", "c. 80", "", "1+0 80 in 1 by metronome ♩ = c. 80"},
		{"quarter", "66.5", "", "1+0 66.5 in 1 by metronome ♩ = 66.5"},
		{"quarter", "66,5", "", "1+0 66.5 in 1 by metronome ♩ = 66,5"},
		{"quarter", "(72)", "", "1+0 72 in 1 by metronome ♩ = (72)"},
		{"quarter", "72", ` parentheses="yes"`, "1+0 72 in 1 by metronome (♩ = 72)"},
		{"quarter", "72", ` print-object="no"`, "1+0 72 in 1 by metronome"},
	} {
		s := read(t, "4/4", 1, sign{1, "0", above(kind(metronomeXML(c.unit, c.perMinute, c.attrs)))})
		check(t, describeTempos(s), []string{c.want})
	}
}

// Two tied notes can be the unit: MusicXML 4.0, beat-unit-tied.
func TestTiedBeatUnit(t *testing.T) {
	s := read(t, "4/4", 1, sign{1, "0", above(kind(`<metronome>` + beatUnit("half") + `<beat-unit-tied><beat-unit>eighth</beat-unit></beat-unit-tied><per-minute>40</per-minute></metronome>`))})
	check(t, describeTempos(s), []string{"1+0 100 in 5/2 by metronome 5/2 = 40"})
}

func TestWhatNamesTheTempo(t *testing.T) {
	const allegro = `<words>Allegro</words>`
	for _, c := range []struct{ name, xml, want string }{
		{"a printed mark before the sound", dir(1, "above", kind(metronomeXML("quarter", "60", "")), `<sound tempo="90"/>`), "1+0 60 in 1 by metronome ♩ = 60"},
		{"the sound before a hidden mark", dir(1, "above", kind(metronomeXML("quarter", "60", ` print-object="no"`)), `<sound tempo="90"/>`), "1+0 90 in 1 by sound"},
		{"the sound where the mark is unreadable", dir(1, "above", kind(metronomeXML("quarter", "?", "")), `<sound tempo="90"/>`), "1+0 90 in 1 by sound"},
		{"the sound before the word", dir(1, "above", kind(allegro), `<sound tempo="126"/>`), "1+0 126 in 1 by sound Allegro"},
		{"word and mark", above(kind(allegro) + kind(metronomeXML("quarter", "132", ""))), "1+0 132 in 1 by metronome Allegro ♩ = 132"},
		{"word, mark and sound apart", words("Allegro") + above(kind(metronomeXML("quarter", "132", ""))) + `<sound tempo="131"/>`, "1+0 132 in 1 by metronome Allegro ♩ = 132"},
		{"a sound in the measure", `<sound tempo="75.5"/>`, "1+0 75.5 in 1 by sound"},
		{"a figure printed as words", dir(1, "above", kind(`<words>66</words>`), `<sound tempo="66"/>`), "1+0 66 in 1 by sound"},
		{"the first time through", `<sound tempo="75" time-only="2"/><sound tempo="80" time-only="1, 2"/>`, "1+0 80 in 1 by sound"},
	} {
		t.Run(c.name, func(t *testing.T) {
			check(t, describeTempos(read(t, "4/4", 1, sign{1, "0", c.xml})), []string{c.want})
		})
	}
}

func TestMetronomeInWords(t *testing.T) {
	for text, want := range map[string]string{
		"♩ = 60":                        "60 in 1",
		"♩. = 60":                       "90 in 3/2",
		"♩=60-66":                       "63 in 1",
		"Allegro (♩ = 120)":             "120 in 1",
		"quarter = 60":                  "60 in 1",
		"dotted quarter = 40":           "60 in 3/2",
		"quarter note = ca. 72":         "72 in 1",
		"Eighth = 96":                   "48 in 1/2",
		"half-note = 50":                "100 in 2",
		"crotchet = 84":                 "84 in 1",
		"semiquaver = 200":              "50 in 1/4",
		"Andante &#xECA5;&#xECB7; = 50": "75 in 3/2",
		"M.M. = 72":                     "108 in 3/2",
		"q. = 40":                       "60 in 3/2",
		"&#x1D15E; = 40":                "80 in 2",
	} {
		s := read(t, "6/8", 1, sign{1, "0", words(text)})
		if got := s.Tempos[0]; fmt.Sprintf("%.4g in %s", got.QPM, got.Beat) != want || got.From != score.FromMetronome {
			t.Errorf("%q is read as %+v, want %s", text, got, want)
		}
		if len(s.Words) > 0 {
			t.Errorf("%q is kept among the words too", text)
		}
	}
	for _, text := range []string{"bars = 12", "A = 440", "the = 5"} {
		if s := read(t, "4/4", 1, sign{1, "0", words(text)}); s.Tempos[0].From != score.Assumed {
			t.Errorf("%q is read as the tempo %+v", text, s.Tempos[0])
		}
	}
}

// In "♩ = ♪" the left note is the old one, as music21 9 has it: its
// documentation of tempo.MetricModulation goes from 60 through eighth = quarter
// to 120, and then through dotted quarter = quarter to 80.
func TestMetricModulation(t *testing.T) {
	units := func(left, right string) string {
		return above(kind(`<metronome>` + beatUnit(left) + beatUnit(right) + `</metronome>`))
	}
	s := read(t, "4/4", 4, sign{1, "0", `<sound tempo="60"/>`}, sign{2, "0", units("eighth", "quarter")}, sign{3, "0", units("quarter.", "quarter")}, sign{4, "0", words("♩ = ♪")})
	check(t, describeTempos(s), []string{
		"1+0 60 in 1 by sound", "2+0 120 in 1 by sound ♪ = ♩", "3+0 80 in 1 by sound ♩. = ♩", "4+0 40 in 1/2 by sound ♩ = ♪",
	})
}

func TestMetronomeNotes(t *testing.T) {
	note := func(value, more string) string {
		return `<metronome-note><metronome-type>` + value + `</metronome-type>` + more + `</metronome-note>`
	}
	const equals = `<metronome-relation>equals</metronome-relation>`
	tuplet := func(side string) string {
		return `<metronome-tuplet type="` + side + `"><actual-notes>3</actual-notes><normal-notes>2</normal-notes></metronome-tuplet>`
	}
	tied := note("quarter", `<metronome-tied type="start"/>`) + note("eighth", `<metronome-tied type="stop"/>`)
	swing := note("eighth", "") + note("eighth", "") + equals + note("quarter", tuplet("start")) + note("eighth", tuplet("stop"))
	for _, c := range []struct{ name, xml, want string }{
		{"dotted", note("quarter", `<metronome-dot/>`) + equals + note("quarter", ""), "2+0 40 in 1 by sound ♩. = ♩"},
		{"tied", tied + equals + note("half", ""), "2+0 80 in 2 by sound ♩. = half"},
		{"swing", swing, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := read(t, "4/4", 2, sign{1, "0", `<sound tempo="60"/>`}, sign{2, "0", above(kind(`<metronome>` + c.xml + `</metronome>`))})
			want := []string{"1+0 60 in 1 by sound"}
			if c.want != "" {
				want = append(want, c.want)
			}
			check(t, describeTempos(s), want)
			if w := warnings(s); w != "" {
				t.Errorf("warnings: %s", w)
			}
		})
	}
}

func TestTempoComesBack(t *testing.T) {
	mark := func(perMinute string) string { return above(kind(metronomeXML("quarter", perMinute, ""))) }
	for _, c := range []struct {
		name  string
		signs []sign
		want  []string
	}{
		{"after a ritardando", []sign{{1, "0", mark("80")}, {2, "0", words("rit.")}, {3, "0", words("a tempo")}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80", "3+0 80 in 1 by metronome a tempo"}},
		{"after a ritardando written out", []sign{{1, "0", mark("80")}, {2, "0", words("rall.")}, {2, "1", `<sound tempo="70"/>`}, {2, "2", mark("60")}, {3, "0", words("a tempo")}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80", "2+2 60 in 1 by metronome ♩ = 60", "3+0 80 in 1 by metronome a tempo"}},
		{"after a fermata played slower", []sign{{1, "0", mark("80")}, {2, "0", `<sound tempo="30"/>`}, {2, "2", words("a tempo")}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80", "2+2 80 in 1 by metronome a tempo"}},
		{"to a mark that came after a ritardando", []sign{{1, "0", mark("80")}, {2, "0", words("rit.")}, {3, "0", mark("120")}, {4, "0", words("rit.")}, {5, "0", words("a tempo")}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80", "3+0 120 in 1 by metronome ♩ = 120", "5+0 120 in 1 by metronome a tempo"}},
		{"with its own sound", []sign{{1, "0", mark("80")}, {2, "0", words("rit.")}, {3, "0", dir(1, "above", kind(`<words>a tempo</words>`), `<sound tempo="78"/>`)}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80", "3+0 78 in 1 by sound a tempo"}},
		{"the first", []sign{{1, "0", mark("80")}, {2, "0", mark("132")}, {3, "0", words("Tempo I")}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80", "2+0 132 in 1 by metronome ♩ = 132", "3+0 80 in 1 by metronome Tempo I"}},
		{"after a ritardando with a figure", []sign{{1, "0", mark("80")}, {2, "0", words("rit. (♩ = 60)")}, {3, "0", words("a tempo")}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80", "2+0 60 in 1 by metronome rit. (♩ = 60)", "3+0 80 in 1 by metronome a tempo"}},
		{"no rubato", []sign{{1, "0", mark("80")}, {2, "0", words("rit.")}, {3, "0", words("a tempo rubato")}},
			[]string{"1+0 80 in 1 by metronome ♩ = 80"}},
	} {
		t.Run(c.name, func(t *testing.T) { check(t, describeTempos(read(t, "4/4", 5, c.signs...)), c.want) })
	}
	for _, text := range []string{"Tempo I", "Tempo Iº", "tempo primo", "Tempo 1°", "Erstes Zeitmaß", "1er Mouvement", "Tempo 1"} {
		if newPhrase(text).back() != toFirst {
			t.Errorf("%q does not go back to the first tempo", text)
		}
	}
	for _, text := range []string{"a tempo", "A tempo", "in tempo", "im Tempo", "au mouvement", "(a tempo)"} {
		if newPhrase(text).back() != toSteady {
			t.Errorf("%q does not go back to the tempo before", text)
		}
	}
}

func TestGradualChanges(t *testing.T) {
	s := read(t, "4/4", 3, sign{1, "0", `<sound tempo="100"/>`}, sign{1, "2", words("poco rit.")}, sign{2, "0", words("poco a poco più mosso")}, sign{3, "1", dir(1, "below", kind(`<words>rall. e dolciss.</words>`), "")})
	check(t, describeTempos(s), []string{"1+0 100 in 1 by sound"})
	var got []string
	for _, g := range s.Gradual {
		got = append(got, fmt.Sprintf("%s staff %d %s", place(s, g.At), g.Staff, g.Text))
	}
	check(t, got, []string{"1+2 staff 1 poco rit.", "2+0 staff 1 poco a poco più mosso", "3+1 staff 1 rall. e dolciss."})
	if len(s.Words) > 0 {
		t.Errorf("words %v are gradual changes", s.Words)
	}
	for _, text := range []string{"rit.", "ritard.", "ritardando", "riten.", "rall.", "rallent.", "accel.", "stringendo", "allargando", "calando", "smorz.", "stretto",
		"cédez", "en retenant un peu, retenu", "allmählich langsamer", "immer schneller werden", "slowing down", "sempre più mosso", "de plus en plus vite", "zögernd"} {
		if !newPhrase(text).gradual() {
			t.Errorf("%q is no gradual change", text)
		}
	}
	for _, text := range []string{"ritmico", "ritornello", "senza rit.", "strings", "più mosso", "rubato", "dolce", "non rall."} {
		if newPhrase(text).gradual() {
			t.Errorf("%q is read as a gradual change", text)
		}
	}
}

// The factors are common practice; what is tested is their direction and that
// the guess is told.
func TestSuddenChanges(t *testing.T) {
	for text, want := range map[string]float64{
		"più mosso": clearChange, "poco più mosso": slightChange, "molto più mosso": greatChange, "Più lento": 1 / clearChange, "meno mosso": 1 / clearChange,
		"un poco meno mosso": 1 / slightChange, "Più vivo": clearChange, "Meno allegro": 1 / clearChange, "plus vite": clearChange, "moins vite": 1 / clearChange,
		"un peu plus lent": 1 / slightChange, "Etwas langsamer": 1 / slightChange, "schneller": clearChange, "faster": clearChange,
		"Doppio movimento": 2, "doppio più lento": .5, "dolce": 0, "Allegro": 0, "più dolce": 0,
	} {
		if got := newPhrase(text).ratio(); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q changes the tempo by %v, want %v", text, got, want)
		}
	}
	s := read(t, "4/4", 2, sign{1, "0", `<sound tempo="100"/>`}, sign{2, "0", words("Più mosso")})
	check(t, describeTempos(s), []string{"1+0 100 in 1 by sound", "2+0 115 in 1 by sound Più mosso"})
	if w := warnings(s); w != `bar 2: "Più mosso" gives no figure: 115 quarter notes a minute are taken (common practice)` {
		t.Errorf("warnings: %s", w)
	}
}

// L'istesso tempo: the beat keeps its pace, be it a quarter or a dotted one.
func TestSameBeat(t *testing.T) {
	const six = `<attributes><time><beats>6</beats><beat-type>8</beat-type></time></attributes>`
	s := read(t, "3/4", 2, sign{1, "0", `<sound tempo="100"/>`}, sign{2, "0", six + words("L'istesso tempo")})
	check(t, describeTempos(s), []string{"1+0 100 in 1 by sound", "2+0 150 in 3/2 by sound L'istesso tempo"})
}

func TestAssumedTempo(t *testing.T) {
	for _, c := range []struct {
		time  string
		signs []sign
		want  []string
		warn  string
	}{
		{"4/4", nil, []string{"1+0 90 in 1 by assumed"}, "the score names no tempo: ♩ = 90 is assumed, a moderate pace"},
		{"6/8", nil, []string{"1+0 135 in 3/2 by assumed"}, "the score names no tempo: ♩. = 90 is assumed"},
		{"4/4", []sign{{3, "0", `<sound tempo="72"/>`}}, []string{"1+0 90 in 1 by assumed", "3+0 72 in 1 by sound"}, "the score names no tempo before bar 3: ♩ = 90"},
		{"4/4", []sign{{1, "1", `<sound tempo="72"/>`}}, []string{"1+0 72 in 1 by sound"}, ""},
		{"4/4", []sign{{1, "0", words("dolce")}}, []string{"1+0 90 in 1 by assumed"}, "names no tempo"},
	} {
		s := read(t, c.time, 3, c.signs...)
		check(t, describeTempos(s), c.want)
		if w := warnings(s); !strings.Contains(w, c.warn) || c.warn == "" && w != "" {
			t.Errorf("warnings %q, want %q", w, c.warn)
		}
	}
}

// The tempo of a piece with a pickup often stands at the first full bar.
func TestTempoAfterPickup(t *testing.T) {
	text := page(t, "4/4", 2, sign{2, "0", `<sound tempo="72"/>`})
	text = strings.Replace(text, `<measure number="1">`, `<measure number="0" implicit="yes">`, 1)
	s, err := mustRead(t, text).Score(Options{})
	if err != nil {
		t.Fatal(err)
	}
	check(t, describeTempos(s), []string{"0+0 72 in 1 by sound"})
}

func TestImpossibleTempi(t *testing.T) {
	for _, figure := range []string{"0", "-60", "1001", "NaN", "+Inf", "fast", "1e300"} {
		s := read(t, "4/4", 2, sign{1, "0", `<sound tempo="60"/>`}, sign{2, "0", `<sound tempo="` + figure + `"/>`})
		check(t, describeTempos(s), []string{"1+0 60 in 1 by sound"})
		if w := warnings(s); !strings.HasPrefix(w, "bar 2: ") {
			t.Errorf("tempo %s: warnings %q, want one for bar 2", figure, w)
		}
	}
	for _, figure := range []string{"0", "-60", "100000000000000000000", "?", ""} {
		s := read(t, "4/4", 2, sign{1, "0", `<sound tempo="60"/>`}, sign{2, "0", above(kind(metronomeXML("quarter", figure, "")))})
		check(t, describeTempos(s), []string{"1+0 60 in 1 by sound"})
		if w := warnings(s); !strings.HasPrefix(w, "bar 2: ") {
			t.Errorf("metronome %q: warnings %q, want one for bar 2", figure, w)
		}
	}
}

// Exporters repeat the tempo; what says nothing new is left out.
func TestRepeatedTempi(t *testing.T) {
	s := read(t, "4/4", 3, sign{1, "0", `<sound tempo="60"/><sound tempo="60"/>`}, sign{2, "0", `<sound tempo="60"/>`}, sign{3, "0", `<sound tempo="61"/>`})
	check(t, describeTempos(s), []string{"1+0 60 in 1 by sound", "3+0 61 in 1 by sound"})
}

// handbook are the ranges of ../shared/facts.md, in main beats a minute: common
// practice. Prestissimo has no upper end there.
var handbook = map[string][2]float64{
	"Grave": {25, 45}, "Largo": {40, 60}, "Lento": {45, 60}, "Larghetto": {60, 66}, "Adagio": {55, 76}, "Adagietto": {65, 80},
	"Andante": {72, 108}, "Andantino": {80, 108}, "Moderato": {86, 120}, "Allegretto": {100, 128}, "Allegro": {116, 168},
	"Vivace": {132, 176}, "Presto": {168, 200}, "Prestissimo": {184, math.Inf(1)},
}

func TestTempoWordsAreInRange(t *testing.T) {
	modified := []string{"%s", "Molto %s", "Poco %s", "Un poco %s", "Quasi %s", "%s assai", "%s molto", "%s ma non troppo", "%s con moto", "%s con brio",
		"%s sostenuto", "%s maestoso", "%s cantabile", "%s, con gran espressione", "Non troppo %s", "%s moderato", "%s vivace", "%s e mesto"}
	for word, limits := range handbook {
		for _, text := range modified {
			text = fmt.Sprintf(text, word)
			beats, ok := newPhrase(text).pace(false)
			if !ok || beats < limits[0] || beats > limits[1] {
				t.Errorf("%q is taken as %v beats a minute, want %v to %v", text, beats, limits[0], limits[1])
			}
		}
	}
}

// Whatever the language, a word's figure lies in the range of one of the
// handbooks' words.
func TestEveryTempoWordHasAHandbookPace(t *testing.T) {
	for _, table := range []map[string]heading{headings, openings, dances} {
		for word, h := range table {
			known := false
			for _, limits := range handbook {
				known = known || h.low == limits[0] && (h.high == limits[1] || math.IsInf(limits[1], 1))
			}
			if !known || h.part < 0 || h.part > 1 {
				t.Errorf("%q has the pace %v", word, h)
			}
			if p := newPhrase(word); len(p) != 1 || p[0] != word {
				t.Errorf("%q can never be found: as a phrase it is %q", word, p)
			}
		}
	}
}

// Which of two is quicker is known even where the figures are common practice.
func TestTempoWordsInOrder(t *testing.T) {
	for _, pair := range [][2]string{
		{"Molto adagio", "Adagio"}, {"Adagio", "Un poco adagio"}, {"Adagio sostenuto", "Adagio"}, {"Andante", "Andante con moto"}, {"Andante", "Andante moderato"},
		{"Allegro moderato", "Allegro"}, {"Allegro ma non troppo", "Allegro"}, {"Allegro", "Allegro vivace"}, {"Allegro", "Molto allegro"}, {"Allegro", "Allegro con brio"},
		{"Largo", "Larghetto"}, {"Adagio", "Adagietto"}, {"Andante", "Andantino"}, {"Allegretto", "Allegro"}, {"Presto", "Prestissimo"}, {"Lentissimo", "Lento"}, {"Vivace", "Vivacissimo"},
		{"Sehr langsam", "Langsam"}, {"Langsam", "Mäßig"}, {"Mäßig", "Bewegt"}, {"Nicht zu schnell", "Schnell"}, {"Nicht schnell", "Schnell"}, {"Ruhig", "Bewegt"}, {"Bewegt", "Lebhaft"},
		{"Très lent", "Lent"}, {"Lent", "Modéré"}, {"Modéré", "Animé"}, {"Assez vite", "Vite"}, {"Lent et douloureux", "Modérément animé"}, {"Vite", "Vif et joyeux"},
		{"Slow", "Moderately"}, {"Moderately", "Moderately fast"}, {"Moderately", "Brightly"}, {"Not fast.", "Fast"}, {"Not too fast", "Fast"}, {"Fast", "Very fast"}, {"Slowly", "Lively"},
		{"Tempo di marcia", "Tempo di valse"}, {"Tempo di Menuetto", "Tempo di Valse"}, {"Tempo di polacca", "Alla marcia"},
	} {
		slow, ok1 := newPhrase(pair[0]).pace(true)
		quick, ok2 := newPhrase(pair[1]).pace(true)
		if !ok1 || !ok2 || slow >= quick {
			t.Errorf("%q is taken as %v and %q as %v beats a minute", pair[0], slow, pair[1], quick)
		}
	}
}

func TestWhatIsNoTempoWord(t *testing.T) {
	for _, text := range []string{"", "dolce", "cantabile", "con grazia", "legato", "sempre staccato", "agitato", "maestoso", "Trio", "Coda", "l.h. lento come prima",
		"con anima", "espressivo", "Minuet", "Waltz", "non legato", "leggiero e presto possibile", "tempo rubato", "senza tempo", "Variation I", "as fast as you like"} {
		if beats, ok := newPhrase(text).pace(false); ok {
			t.Errorf("%q is taken as a tempo of %v", text, beats)
		}
	}
	s := read(t, "4/4", 1, sign{1, "0", above(kind(`<words print-object="no">Presto</words>`))})
	if s.Tempos[0].From != score.Assumed {
		t.Errorf("a hidden word makes the tempo %+v", s.Tempos[0])
	}
}

// A manner of playing is a tempo only at the head of a piece.
func TestMannerAsHeading(t *testing.T) {
	s := read(t, "4/4", 2, sign{1, "0", words("Molto agitato")}, sign{2, "0", words("maestoso")})
	check(t, describeTempos(s), []string{"1+0 160 in 1 by words Molto agitato"})
	check(t, describeWords(s), []string{"2+0 staff 1 maestoso"})
}

// The word's figure is of a quarter divided into four; a meter that counts other
// values moves the tempo half way, and a word's beat is one that can be counted:
// cut time is not twice as quick as common time, and a running 3/8 is counted by
// the bar (common practice).
func TestTempoWordInMeter(t *testing.T) {
	for _, c := range []struct{ time, word, want string }{
		{"4/4", "Andante", "90 in 1"}, {"6/8", "Andante", "78 in 3/2"}, {"3/8", "Andante", "64 in 1/2"}, {"2/2", "Andante", "108 in 2"},
		{"24/16", "Andante", "55 in 3/4"}, {"3/8", "Allegro", "123 in 3/2"}, {"3/4", "Presto", "214 in 1"},
	} {
		s := read(t, c.time, 1, sign{1, "0", words(c.word)})
		check(t, describeTempos(s), []string{"1+0 " + c.want + " by words " + c.word})
		if w := warnings(s); !strings.Contains(w, `bar 1: "`+c.word+`" gives no figure`) {
			t.Errorf("%s: warnings %q", c.time, w)
		}
	}
}

// Many small notes make a word slower, few make it quicker: between the same word
// in notes of two sizes lies the square root of their ratio.
func TestTempoWordInNoteValues(t *testing.T) {
	of := func(note string, times int) float64 {
		s := scoreFrom(t, strings.Replace(sketch("time 4/4; words Allegro;"+strings.Repeat(note+";", times)), `<sound tempo="90"/>`, "", 1))
		return s.Tempos[0].QPM
	}
	eighths, sixteenths, sextuplets := of("C5 240", 8), of("C5 120", 16), of("C5 80", 24)
	if sixteenths <= sextuplets || math.Abs(eighths/sixteenths-math.Sqrt2) > .01 {
		t.Errorf("an Allegro in eighths, sixteenths and sextuplets is taken at %v, %v and %v", eighths, sixteenths, sextuplets)
	}
}

// Playback that bends every few beats is no tempo to aim at: the printed mark is,
// or the word, or the middle of the curve.
func TestPlaybackCurve(t *testing.T) {
	curve := func(first string) []sign {
		signs := []sign{{1, "0", first + `<sound tempo="63.7"/>`}}
		for bar := 1; bar < 8; bar++ {
			signs = append(signs, sign{bar, "2", fmt.Sprintf(`<sound tempo="%d.3"/>`, 60+2*bar)})
		}
		return signs
	}
	for _, c := range []struct{ first, want, said string }{
		{"", "1+0 68 in 1 by sound", "changes 8 times: its middle is taken"},
		{words("Andante"), "1+0 90 in 1 by words Andante", "bends in 7 places"},
		{above(kind(metronomeXML("quarter", "72", ""))), "1+0 72 in 1 by metronome ♩ = 72", "bends in 7 places"},
	} {
		s := read(t, "4/4", 8, curve(c.first)...)
		check(t, describeTempos(s), []string{c.want})
		if w := warnings(s); !strings.Contains(w, c.said) {
			t.Errorf("warnings %q, want %q", w, c.said)
		}
	}
}

// What a program writes where nothing was said is not the tempo of an Adagio.
func TestDefaultBesideAWord(t *testing.T) {
	s := read(t, "4/4", 1, sign{1, "0", dir(1, "above", kind(`<words>Adagio</words>`), `<sound tempo="120"/>`)})
	check(t, describeTempos(s), []string{"1+0 66 in 1 by words Adagio"})
}

// A mark printed a little after its word is the word's.
func TestMarkAfterItsWord(t *testing.T) {
	s := read(t, "4/4", 3, sign{1, "0", words("Adagio") + `<sound tempo="70"/>`}, sign{2, "0", above(kind(metronomeXML("eighth", "84", "")))})
	check(t, describeTempos(s), []string{"1+0 42 in 1/2 by metronome Adagio ♪ = 84"})
}

// A cadenza in one bar is free time: what no hand can play in time is not asked.
func TestCadenzaIsFree(t *testing.T) {
	s := scoreFrom(t, sketch("time 4/4; C5 1920", "time 4/4; C5 960;"+strings.Repeat("D5 20 128th 3:2; E5 20 128th 3:2;", 24), "C5 1920", "D5 1920"))
	check(t, describeTempos(s), []string{"1+0 90 in 1 by sound", "2+0 30 in 1 by free", "3+0 90 in 1 by sound"})
	if w := warnings(s); w != "bar 2: 8 notes on end would be 36 a second: the bar is taken in free time" {
		t.Errorf("warnings %q", w)
	}
}
