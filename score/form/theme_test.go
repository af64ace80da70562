package form

import (
	"os"
	"slices"
	"strings"
	"testing"

	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest"
)

// The tune of phrase a over broken chords, and in octaves over chords.
var newlySet = [2][2]string{
	{"C5:1 E5:1 G5:2 | F5:1 D5:1 B4:2 | C5:1/2 D5:1/2 E5:1 A5:2 | G5:3 r:1",
		"C3:1/2 G3:1/2 E3:1/2 G3:1/2 C3:1/2 G3:1/2 E3:1/2 G3:1/2 | G2:1/2 D3:1/2 F3:1/2 D3:1/2 G2:1/2 D3:1/2 F3:1/2 D3:1/2 | " +
			"A2:1/2 E3:1/2 C3:1/2 E3:1/2 F2:1/2 C3:1/2 A2:1/2 C3:1/2 | C3:1/2 G3:1/2 E3:1/2 G3:1/2 C3:2"},
	{"C5+C6:1 E5+E6:1 G5+G6:2 | F5+F6:1 D5+D6:1 B4+B5:2 | C5+C6:1/2 D5+D6:1/2 E5+E6:1 A5+A6:2 | G5+G6:3 r:1",
		"C2:1 C4+E4+G4:1 r:2 | G1:1 D4+F4+B4:1 r:2 | A1:1 E4:1 F1:1 C4:1 | C2:1 C4+E4+G4:1 r:2"},
}

// A tune that comes again is known again in the octave above and over any
// accompaniment.
func TestTuneNewlySet(t *testing.T) {
	for i, set := range newlySet {
		right := []string{phrases['a'][0], phrases['b'][0], set[0]}
		left := []string{phrases['a'][1], phrases['b'][1], set[1]}
		f := Find(scoretest.Piece{Right: []string{strings.Join(right, " | ")}, Left: []string{strings.Join(left, " | ")}}.Score(t))
		if got := outline(f); got != "A 1-4, B 5-8, A′ 9-12" {
			t.Fatalf("setting %d: %s", i, got)
		}
		if l := f.Sections[2].Like; l.Relation() != Tune || l.Semitones != 0 {
			t.Errorf("setting %d: %+v", i, l)
		}
		if words := f.SectionWords(f.Sections[2]); !strings.Contains(words, "the tune of bars 1–4 again, newly set") {
			t.Errorf("setting %d: %q", i, words)
		}
	}
}

// Bars left out of a section leave the rest of it known.
func TestBarsLeftOut(t *testing.T) {
	s := compose(t, "abcdab")
	d := newDescription(s, NewBars(s, score.Both))
	d.index = slices.Delete(slices.Clone(d.index), 18, 20) // the second half of the last a
	first, last := run{from: 0, to: 8}, run{from: 16, to: 22}
	if l := d.compare(first, last); l.Known < 0.7 || l.Exact {
		t.Errorf("six of eight bars are the same: %+v", l)
	}
	if l := d.compareAs(alignment{a: first, b: last}); l.Known > 0.5 {
		t.Errorf("without a shift only two are: %+v", l)
	}
}

// Standard works, their sections as handbooks of form describe them (from
// memory). Each pair is a bar where something comes again and the bar where it
// stood first; the first of each must lie in a section that is like the one in
// which the second lies.
func TestStandardWorks(t *testing.T) {
	const folder = "../../../shared/"
	if _, err := os.Stat(folder); err != nil {
		t.Skip("did not run: needs the real scores in ../shared")
	}
	for _, c := range []struct {
		file  string
		again [][2]string
	}{
		{"scores/Sonate_No._8_Pathetique_2nd_Movement", [][2]string{{"9", "1"}, {"29", "1"}, {"51", "1"}, {"59", "1"}}},                          // rondo: A A B A C A A
		{"scores/Sonata_No._16_1st_Movement_K._545", [][2]string{{"42", "1"}, {"60", "15"}}},                                                     // recapitulation in the subdominant
		{"scores/Sonate_No._14_Moonlight_3rd_Movement", [][2]string{{"103", "1"}, {"140", "45"}}},                                                // sonata form
		{"scores/Fur_Elise", [][2]string{{"40", "1"}, {"84", "1"}, {"50", "12"}}},                                                                // A B A C A
		{"scores/Waltz_Opus_64_No._2_in_C_Minor", [][2]string{{"135", "5"}, {"49", "33"}, {"100", "35"}, {"165", "36"}}},                         // A B C B A B
		{"scores/Maple_Leaf_Rag_Scott_Joplin", [][2]string{{"40", "5"}}},                                                                         // A A B B A C C D D
		{"scores/The_Entertainer_-_Scott_Joplin_-_1902", [][2]string{{"40", "8"}}},                                                               // A A B B A C C D D
		{"scores/Gymnopdie_No._1__Satie", [][2]string{{"42", "3"}, {"60", "21"}}},                                                                // strophes
		{"scores/Chopin_-_Nocturne_Op_9_No_2_E_Flat_Major", [][2]string{{"6", "2"}, {"14", "6"}, {"18", "10"}, {"22", "14"}}},                    // A A B A B A coda
		{"scores/Piano_Sonata_No._11_K._331_3rd_Movement_Rondo_alla_Turca", [][2]string{{"64", "28"}, {"72", "2"}, {"82", "12"}, {"100", "30"}}}, // rondo with the refrain in A major
		{"scores/Chopin_-_Nocturne_Op._9_No._1", [][2]string{{"75", "13"}, {"44", "36"}}},                                                        // A B A
		{"performed/scores/Beethoven_Piano_Sonatas_11-1", [][2]string{{"129", "1"}, {"170", "39"}}},                                              // sonata form
		{"performed/scores/Beethoven_Piano_Sonatas_2-1", [][2]string{{"227", "2"}, {"290", "70"}}},                                               // sonata form
		{"performed/scores/Schubert_Impromptu_op.90_D.899_3", [][2]string{{"56", "2"}, {"65", "11"}}},                                            // A B A
		{"performed/scores/Chopin_Scherzos_31", [][2]string{{"140", "8"}, {"370", "270"}, {"600", "17"}}},                                        // scherzo, trio, scherzo
	} {
		file, err := musicxml.Open(folder + c.file + ".mxl")
		if err != nil {
			t.Fatal(err)
		}
		s, err := file.Score(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		f := Find(s)
		letter := func(bar string) string {
			i := slices.IndexFunc(f.Sections, func(sec Section) bool {
				for _, b := range s.Bars[sec.First : sec.Last+1] {
					if b.Number == bar {
						return true
					}
				}
				return false
			})
			return f.Sections[i].Letter
		}
		for _, pair := range c.again {
			if letter(pair[0]) != letter(pair[1]) {
				t.Errorf("%s: bar %s is in section %s, bar %s in %s: %s", c.file, pair[0], letter(pair[0]), pair[1], letter(pair[1]), outline(f))
			}
		}
	}
}
