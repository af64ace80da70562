package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"hardbars/score"
)

// barTable prints the bars: number, length, time signature, and "implicit".
func barTable(s *score.Score) []string {
	var lines []string
	for _, b := range s.Bars {
		line := fmt.Sprintf("%s %s %s", b.Number, b.Length, b.Time)
		if b.Implicit {
			line += " implicit"
		}
		lines = append(lines, line)
	}
	return lines
}

// renumber gives the measures of a sketch other attributes.
func renumber(text string, attributes ...string) string {
	for i, a := range attributes {
		text = strings.Replace(text, fmt.Sprintf(`<measure number="%d">`, i+1), "<measure "+a+">", 1)
	}
	return text
}

func TestBarNumbers(t *testing.T) {
	text := sketch("time 2/4; C5 480", "D5 960", "E5 480", "F5 480", "G5 960", "A5 960", "B5 960", "C6 960")
	s := scoreFrom(t, renumber(text,
		`number="0" implicit="yes"`, `number="1"`, `number="X1" implicit="yes"`, `number="X2" implicit="yes"`,
		`number="12a"`, `number="12a"`, ``, `number="3" text="103"`))
	wantLines(t, barTable(s), "0 1 2/4 implicit", "1 2 2/4", "X1 1 2/4 implicit", "X2 1 2/4 implicit",
		"12a 2 2/4", "12a 2 2/4", "7 2 2/4", "103 2 2/4")
	for i, b := range s.Bars {
		if b.Index != i+1 {
			t.Errorf("bar %s has index %d", b.Number, b.Index)
		}
	}
	wantLines(t, warned(s, ""), "bar 7: the bar has no number; it is counted as bar 7 of the file")
}

func TestTimeSignatures(t *testing.T) {
	tests := []struct {
		time, want string
		length     score.Rat
	}{
		{"<beats>3</beats><beat-type>4</beat-type>", "3/4", score.Int(3)},
		{"<beats>6</beats><beat-type>8</beat-type>", "6/8", score.Int(3)},
		{"<beats>3+2</beats><beat-type>8</beat-type>", "3+2/8", score.R(5, 2)},
		{"<beats> 3 + 2 + 2 </beats><beat-type>16</beat-type>", "3+2+2/16", score.R(7, 4)},
		{"<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>", "2/4+3/8", score.R(7, 2)},
		{"<beats>3</beats><beat-type>4</beat-type><interchangeable><beats>6</beats><beat-type>8</beat-type></interchangeable>", "3/4", score.Int(3)},
		{"<senza-misura/>", "", score.Int(0)},
		{"<beats>4</beats>", "", score.Int(0)},
		{"<beats>0</beats><beat-type>4</beat-type>", "", score.Int(0)},
		{"<beats>4</beats><beat-type>0</beat-type>", "", score.Int(0)},
		{"<beats>four</beats><beat-type>4</beat-type>", "", score.Int(0)},
	}
	for _, test := range tests {
		s := scoreFrom(t, sketch("<attributes><time>"+test.time+"</time></attributes>; C5 480"))
		if got := s.Bars[0].Time; got.String() != test.want || got.Length != test.length {
			t.Errorf("%s is read as %q of %s", test.time, got, got.Length)
		}
	}
}

// A signature holds from the bar that begins with it; one in the middle of a bar
// announces the next bar.
func TestSignaturesInForce(t *testing.T) {
	s := scoreFrom(t, sketch(
		"time 2/4; <attributes><key><fifths>-3</fifths><mode>minor</mode></key></attributes>; C5 960",
		"D5 960; time 3/8; <attributes><key number=\"1\"><fifths>4</fifths></key><key number=\"2\"><fifths>2</fifths></key></attributes>",
		"E5 720", "<attributes><time><senza-misura/></time></attributes>; F5 3360"))
	wantLines(t, barTable(s), "1 2 2/4", "2 2 2/4", "3 3/2 3/8", "4 7 ")
	keys := []score.Key{{Fifths: -3, Mode: "minor"}, {Fifths: -3, Mode: "minor"}, {Fifths: 4}, {Fifths: 4}}
	for i, want := range keys {
		if s.Bars[i].Key != want {
			t.Errorf("bar %d is in %+v", i+1, s.Bars[i].Key)
		}
	}
	wantLines(t, warned(s, ""))
}

// A bar ends where its longest part ends, whether that is a hand or another part.
func TestBarLengths(t *testing.T) {
	s := scoreFrom(t, sketch("time 4/4; C5 1920; back 1920; C3 960 v5 s2", "D5 960; back 960; D3 2400 v5 s2", "E5 960; back 480; forward 1440", "F5 1920"))
	wantLines(t, barTable(s), "1 4 4/4", "2 5 4/4", "3 4 4/4", "4 4 4/4")
	wantLines(t, warned(s, ""), "bar 2: the bar holds 5 quarters, more than its time signature's 4")

	violin := `<part id="P2"><measure number="1"><attributes><divisions>2</divisions></attributes>` +
		`<note><pitch><step>A</step><octave>5</octave></pitch><duration>7</duration></note></measure></part></score-partwise>`
	list := `<score-part id="P2"><part-name>Violin</part-name></score-part></part-list>`
	text := strings.Replace(strings.Replace(sketch("time 2/4; C5 960", "D5 960"), "</score-partwise>", violin, 1), "</part-list>", list, 1)
	wantLines(t, barTable(scoreFrom(t, text)), "1 7/2 2/4", "2 2 2/4")
}

func TestShortBars(t *testing.T) {
	const open = `<barline location="left"><repeat direction="forward"/></barline>`
	tests := []struct {
		name     string
		bars     []string
		warnings []string
	}{
		{"pickup and the end that completes it", []string{"time 3/4; C5 480", "D5 1440", "E5 960"}, nil},
		{"a repeat sign in the middle of a bar", []string{"time 3/4; C5 1440", "C5 960;" + backward, "D5 480", "E5 1440"}, nil},
		{"a bar in two halves", []string{"time 3/4; C5 1440", "C5 960", "D5 480", "E5 1440"}, nil},
		{"a repeat that begins with a pickup", []string{"time 3/4; C5 1440", open + "; C5 480", "D5 1440", "E5 1440;" + backward}, nil},
		{"simply short", []string{"time 3/4; C5 1440", "C5 720", "D5 1440", "E5 1440"},
			[]string{"bar 2: the bar holds only 3/2 quarters of its time signature's 3"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			wantLines(t, warned(scoreFrom(t, sketch(test.bars...)), ""), test.warnings...)
		})
	}
}

func TestEmptyBars(t *testing.T) {
	s := scoreFrom(t, sketch("time 3/4; C5 1440", "", "D5 1440",
		"<attributes><measure-style><multiple-rest>2</multiple-rest></measure-style></attributes>", "", "E5 1440", "B4 grace"))
	wantLines(t, barTable(s), "1 3 3/4", "2 3 3/4", "3 3 3/4", "4 3 3/4", "5 3 3/4", "6 3 3/4", "7 3 3/4")
	wantLines(t, warned(s, ""), "bar 2: the bar is empty; it is taken to last 3 quarters", "bar 7: the bar is empty; it is taken to last 3 quarters")

	s = scoreFrom(t, sketch("C5 1440", ""))
	wantLines(t, warned(s, ""), "bar 2: the bar is empty; it is taken to last 4 quarters")
}

// The schema says of measure-repeat that the music "needs to be repeated within
// each measure of the MusicXML file". Where a file does not, no notes are made up.
func TestBarsDrawnAsRepetitions(t *testing.T) {
	const start, stop = `<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>;`,
		`<attributes><measure-style><measure-repeat type="stop"/></measure-style></attributes>;`
	s := scoreFrom(t, sketch("time 2/4; C5 960", start+"C5 960", "forward 960", stop+"D5 960"))
	wantLines(t, table(s), "right 1 0+2 C5", "right 2 0+2 C5", "right 4 0+2 D5")
	wantLines(t, warned(s, ""), "bar 3: the bar is drawn as a repetition and the file holds no notes for it; none are read")
}

func TestManyWarningsOfOneKind(t *testing.T) {
	bars := []string{"time 2/4; C5 960"}
	for range 300 {
		bars = append(bars, "D5 960; E5 480")
	}
	wantLines(t, warned(scoreFrom(t, sketch(bars...)), ""),
		"bar 2: the bar holds 3 quarters, more than its time signature's 2 (and the like in 299 more places)")
}

// Numbers that tell no bars apart are replaced by the place in the file.
func TestUselessNumbers(t *testing.T) {
	for _, number := range []string{"0", "X"} {
		text := sketch("C5 1920", "D5 1920", "E5 1920")
		for _, own := range []string{`number="1"`, `number="2"`, `number="3"`} {
			text = strings.Replace(text, own, `number="`+number+`"`, 1)
		}
		s := scoreFrom(t, text)
		wantLines(t, barTable(s), "1 4 ", "2 4 ", "3 4 ")
		wantLines(t, warned(s, "number"), "the file does not number its bars; they are counted from 1, the first of the file")
	}
}
