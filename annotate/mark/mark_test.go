package mark

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/musicxml"
)

var all = Options{Words: true, Brackets: true, Colour: true}

// read reads a score that the test wrote.
func read(t testing.TB, xml string) *musicxml.File {
	t.Helper()
	f, err := musicxml.Read(strings.NewReader(xml), "test.musicxml")
	if err != nil {
		t.Fatalf("reading the test's own score: %v", err)
	}
	return f
}

// write is the score as it would be stored.
func write(t testing.TB, f *musicxml.File) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := f.WriteTo(&b); err != nil {
		t.Fatalf("writing: %v", err)
	}
	return b.String()
}

// report is what a test found in a score: notes one head long, and spots of
// one occurrence each.
type report struct{ detect.Report }

// newReport has one bar, as long as any.
func newReport() *report {
	return &report{detect.Report{Score: &score.Score{Bars: []score.Bar{{Length: score.Int(100)}}}}}
}

// note adds a note: the number of its <note> element, its onset and length in
// quarters as "3/2", its staff and who plays it. It returns the note's index.
func (r *report) note(id int, onset, length string, staff int, h score.Hand) int {
	at, err1 := score.ParseRat(onset)
	dur, err2 := score.ParseRat(length)
	if err1 != nil || err2 != nil {
		panic("a length that the test wrote is not a number")
	}
	r.Score.Notes = append(r.Score.Notes, score.Note{
		Hand: h, Onset: at, Length: dur, Staff: staff,
		Heads: []score.Head{{ID: id, Onset: at, Length: dur, Staff: staff}},
	})
	return len(r.Score.Notes) - 1
}

// spot adds a hot spot on notes by their index.
func (r *report) spot(h score.Hand, kind detect.Kind, label string, notes ...int) {
	r.Spots = append(r.Spots, detect.Spot{
		ID: fmt.Sprint(len(r.Spots) + 1), Kind: kind, Hand: h, Label: label,
		Occurrences: []detect.Occurrence{{Kind: kind, Hand: h, Notes: notes}},
	})
}

func mustMark(t testing.TB, f *musicxml.File, r *report, o Options) {
	t.Helper()
	if err := Mark(f, &r.Report, o); err != nil {
		t.Fatalf("Mark: %v", err)
	}
}

// same compares two texts and shows the first line that differs.
func same(t testing.TB, what, got, want string) {
	t.Helper()
	if got == want {
		return
	}
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(g), len(w)) {
		switch {
		case i >= len(g):
			t.Fatalf("%s: line %d is missing: %s", what, i+1, w[i])
		case i >= len(w):
			t.Fatalf("%s: line %d should not be there: %s", what, i+1, g[i])
		case g[i] != w[i]:
			t.Fatalf("%s: line %d\n got %s\nwant %s", what, i+1, g[i], w[i])
		}
	}
}

// between is the text from one mark to another, both left out.
func between(t testing.TB, text, from, to string) string {
	t.Helper()
	_, after, ok1 := strings.Cut(text, from)
	inside, _, ok2 := strings.Cut(after, to)
	if !ok1 || !ok2 {
		t.Fatalf("there is no %q … %q in\n%s", from, to, text)
	}
	return inside
}

// onePart is one part of two staves in 4/4: grace note, chord and two quarters
// over a half note and a tied half.
func onePart(version string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="` + version + `">
  <part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes><divisions>1</divisions><staves>2</staves></attributes>
      <!-- the opening -->
      <?other keep?>
      <note><grace/><pitch><step>B</step><octave>4</octave></pitch><voice>1</voice><staff>1</staff></note>
      <note default-x="12">
        <pitch>
          <step>C</step>
          <octave>5</octave>
        </pitch>
        <duration>1</duration>
        <voice>1</voice>
        <staff>1</staff>
      </note>
      <note color="#123456" default-x="12">
        <chord/>
        <pitch>
          <step>E</step>
          <octave>5</octave>
        </pitch>
        <duration>1</duration>
        <voice>1</voice>
        <staff>1</staff>
      </note>
      <note>
        <pitch>
          <step>D</step>
          <octave>5</octave>
        </pitch>
        <duration>1</duration>
        <voice>1</voice>
        <staff>1</staff>
      </note>
      <backup>
        <duration>2</duration>
      </backup>
      <note>
        <pitch>
          <step>C</step>
          <octave>3</octave>
        </pitch>
        <duration>2</duration>
        <voice>5</voice>
        <staff>2</staff>
      </note>
    </measure>
  </part>
</score-partwise>
`
}

// onePartReport has one spot over the right hand's notes and one under the
// left hand's.
func onePartReport() *report {
	r := newReport()
	r.note(0, "0", "0", 1, score.Right)
	c := r.note(1, "0", "1", 1, score.Right)
	e := r.note(2, "0", "1", 1, score.Right)
	d := r.note(3, "1", "1", 1, score.Right)
	low := r.note(4, "0", "2", 2, score.Left)
	r.spot(score.Both, detect.All[0].Kind, "2 over 1", c, e, d, low)
	r.spot(score.Left, detect.All[1].Kind, "leap", low)
	return r
}

func TestMark(t *testing.T) {
	f := read(t, onePart("3.1"))
	mustMark(t, f, onePartReport(), all)
	got := between(t, write(t, f), "</attributes>\n", "    </measure>")
	same(t, "the marked bar", got, `      <?hardbars words 1 · 2 over 1?>
      <direction placement="above"><direction-type><words font-style="normal" font-size="8" color="#D55E00">1 · 2 over 1</words></direction-type><staff>1</staff></direction>
      <?hardbars bracket start 1?>
      <direction placement="above"><direction-type><bracket type="start" number="1" line-end="down" line-type="solid" color="#D55E00"/></direction-type><staff>1</staff></direction>
      <!-- the opening -->
      <?other keep?>
      <note><grace/><pitch><step>B</step><octave>4</octave></pitch><voice>1</voice><staff>1</staff></note>
      <note default-x="12" color="#D55E00">
        <?hardbars color #D55E00?>
        <pitch>
          <step>C</step>
          <octave>5</octave>
        </pitch>
        <duration>1</duration>
        <voice>1</voice>
        <staff>1</staff>
      </note>
      <note color="#D55E00" default-x="12">
        <?hardbars color #D55E00 was %23123456?>
        <chord/>
        <pitch>
          <step>E</step>
          <octave>5</octave>
        </pitch>
        <duration>1</duration>
        <voice>1</voice>
        <staff>1</staff>
      </note>
      <note color="#D55E00">
        <?hardbars color #D55E00?>
        <pitch>
          <step>D</step>
          <octave>5</octave>
        </pitch>
        <duration>1</duration>
        <voice>1</voice>
        <staff>1</staff>
      </note>
      <?hardbars bracket stop 1?>
      <direction placement="above">
        <direction-type>
          <bracket type="stop" number="1" line-end="down" line-type="solid" color="#D55E00"/>
        </direction-type>
        <staff>1</staff>
      </direction>
      <backup>
        <duration>2</duration>
      </backup>
      <?hardbars words 2 · leap?>
      <direction placement="below">
        <direction-type>
          <words font-style="normal" font-size="8" color="#0072B2">2 · leap</words>
        </direction-type>
        <staff>2</staff>
      </direction>
      <?hardbars bracket start 1?>
      <direction placement="below">
        <direction-type>
          <bracket type="start" number="1" line-end="up" line-type="solid" color="#0072B2"/>
        </direction-type>
        <staff>2</staff>
      </direction>
      <note color="#D55E00">
        <?hardbars color #D55E00?>
        <pitch>
          <step>C</step>
          <octave>3</octave>
        </pitch>
        <duration>2</duration>
        <voice>5</voice>
        <staff>2</staff>
      </note>
      <?hardbars bracket stop 1?>
      <direction placement="below">
        <direction-type>
          <bracket type="stop" number="1" line-end="up" line-type="solid" color="#0072B2"/>
        </direction-type>
        <staff>2</staff>
      </direction>
`)
}
