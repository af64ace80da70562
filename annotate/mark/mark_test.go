package mark

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"hardbars/annotate/palette"
	"hardbars/detect"
	"hardbars/detect/kinds"
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

// onePartReport has one spot over the right hand's notes, past comfort, and
// one under the left hand's, within it.
func onePartReport() *report {
	r := newReport()
	r.note(0, "0", "0", 1, score.Right)
	c := r.note(1, "0", "1", 1, score.Right)
	e := r.note(2, "0", "1", 1, score.Right)
	d := r.note(3, "1", "1", 1, score.Right)
	low := r.note(4, "0", "2", 2, score.Left)
	r.spot(score.Both, kinds.All[0].Kind, "2 over 1", c, e, d, low)
	r.Spots[0].Demand, r.Spots[0].Occurrences[0].Demand = 1.2, 1.2
	r.spot(score.Left, kinds.All[1].Kind, "leap", low)
	return r
}

func TestMark(t *testing.T) {
	f := read(t, onePart("3.1"))
	mustMark(t, f, onePartReport(), all)
	got := between(t, write(t, f), "</attributes>\n", "    </measure>")
	same(t, "the marked bar", got, `      <?hardbars words 1 · 2 over 1?>
      <direction placement="above"><direction-type><words font-style="normal" font-size="8" font-weight="bold" color="#D55E00">`+signed("1 · 2 over 1", true)+`</words></direction-type><staff>1</staff></direction>
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
          <words font-style="normal" font-size="8" color="#0072B2">`+signed("2 · leap", true)+`</words>
        </direction-type>
        <staff>2</staff>
      </direction>
      <?hardbars bracket start 1?>
      <direction placement="below">
        <direction-type>
          <bracket type="start" number="1" line-end="up" line-type="dashed" color="#0072B2"/>
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
          <bracket type="stop" number="1" line-end="up" line-type="dashed" color="#0072B2"/>
        </direction-type>
        <staff>2</staff>
      </direction>
`)
}

func TestParseOptions(t *testing.T) {
	for _, c := range []struct {
		list string
		want Options
	}{
		{"words,brackets,colour", Options{Shortlist: true, Words: true, Brackets: true, Colour: true}},
		{"words", Options{Shortlist: true, Words: true}},
		{"brackets, color", Options{Shortlist: true, Brackets: true, Colour: true}},
		{"words,words", Options{Shortlist: true, Words: true}},
		{"all", all},
		{"all,words", Options{Words: true}},
	} {
		if got, err := ParseOptions(c.list); err != nil || got != c.want {
			t.Errorf("%q: %+v, %v", c.list, got, err)
		}
	}
	for _, list := range []string{"", "arrows", "words,", "Words"} {
		if _, err := ParseOptions(list); err == nil || !strings.Contains(err.Error(), "words, brackets and colour") {
			t.Errorf("%q: the error %v does not say what there is to choose", list, err)
		}
	}
}

func TestNoMarks(t *testing.T) {
	f := read(t, onePart("4.0"))
	before := write(t, f)
	mustMark(t, f, onePartReport(), Options{})
	same(t, "without marks", write(t, f), before)
	empty := newReport()
	empty.spot(score.Right, kinds.All[0].Kind, "no notes")
	mustMark(t, f, empty, all)
	same(t, "a spot without notes", write(t, f), before)
}

// A report of another score is refused, and the file, marks and all, is left
// as it was.
func TestWrongReport(t *testing.T) {
	f := read(t, onePart("4.0"))
	mustMark(t, f, onePartReport(), all)
	before := write(t, f)
	tooMany := newReport()
	tooMany.note(99, "0", "1", 1, score.Right)
	noSuchNote := onePartReport()
	noSuchNote.spot(score.Right, kinds.All[0].Kind, "x", 7)
	for _, c := range []struct {
		r    *detect.Report
		want string
	}{
		{nil, "no report"},
		{&detect.Report{}, "no report"},
		{&tooMany.Report, "it speaks of note 100, and test.musicxml has 5"},
		{&noSuchNote.Report, "hot spot 3 speaks of note 8, and the score of the report has 5"},
	} {
		if err := Mark(f, c.r, all); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("the error is %v, not %q", err, c.want)
		}
		same(t, c.want, write(t, f), before)
	}
}

// A note that two spots share takes the colour of the higher-ranked one, and
// every written note of a tied one is coloured.
func TestColourOfSharedAndTiedNotes(t *testing.T) {
	f := read(t, inBars("4.0", plainNote, plainNote))
	r := newReport()
	n := r.note(0, "0", "4", 1, score.Right)
	heads := &r.Score.Notes[n].Heads
	*heads = append(*heads, score.Head{ID: 1, Onset: score.Int(4), Length: score.Int(4), Staff: 1})
	r.spot(score.Right, kinds.All[1].Kind, "first", n)
	r.spot(score.Right, kinds.All[0].Kind, "second", n)
	mustMark(t, f, r, Options{Colour: true})
	text := write(t, f)
	if strings.Count(text, `<note color="`+palette.Of(kinds.All[1].Kind)+`">`) != 2 || strings.Contains(text, palette.Of(kinds.All[0].Kind)) {
		t.Error(text)
	}
}

// Of a spot, the notes are coloured that make it hard: what is past comfort,
// or where nothing is, what is hardest.
func TestColourOfWhatIsHard(t *testing.T) {
	for _, c := range []struct {
		demands [4]float64
		want    string
	}{
		{[4]float64{1.4, 0.9, 1.1, 1}, "13"}, // 1 is within comfort
		{[4]float64{0.7, 0.9, 0.6, 0.9}, "24"},
	} {
		f := read(t, inBars("4.0", plainNote, plainNote, plainNote, plainNote))
		r := newReport()
		spot := detect.Spot{ID: "1", Kind: kinds.All[0].Kind}
		for i, demand := range c.demands {
			n := r.note(i, fmt.Sprint(4*i), "4", 1, score.Right)
			spot.Occurrences = append(spot.Occurrences, detect.Occurrence{Demand: demand, Notes: []int{n}})
			spot.Demand = max(spot.Demand, demand)
		}
		r.Spots = []detect.Spot{spot}
		mustMark(t, f, r, Options{Colour: true})
		got := ""
		for i, note := range f.NoteElements() {
			if colourOf(note) != nil {
				got += fmt.Sprint(i + 1)
			}
		}
		if got != c.want {
			t.Errorf("demands %v: notes %s are coloured, not %s", c.demands, got, c.want)
		}
	}
}
