package mark

import (
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/beevik/etree"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

// every combination of marks.
var every = []Options{
	{}, {Words: true}, {Brackets: true}, {Colour: true},
	{Words: true, Brackets: true}, {Words: true, Colour: true}, {Brackets: true, Colour: true}, all,
}

// eachReport calls do for every score of the project's testdata, with what
// the detectors find in it and with findings everywhere.
func eachReport(t *testing.T, do func(t *testing.T, path string, report func(*testing.T, *musicxml.File) *detect.Report)) {
	t.Helper()
	reports := []struct {
		name string
		make func(*testing.T, *musicxml.File) *detect.Report
	}{
		{"analyzed", analyzed},
		{"crowd of 1", func(_ *testing.T, f *musicxml.File) *detect.Report { return crowd(f, 1) }},
		{"crowd of 5", func(_ *testing.T, f *musicxml.File) *detect.Report { return crowd(f, 5) }},
	}
	for _, path := range library.Own(t) {
		for _, r := range reports {
			t.Run(filepath.Base(path)+"/"+r.name, func(t *testing.T) { do(t, path, r.make) })
		}
	}
}

// analyzed is what the detectors find.
func analyzed(t *testing.T, f *musicxml.File) *detect.Report {
	t.Helper()
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
}

func open(t *testing.T, path string) *musicxml.File {
	t.Helper()
	f, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func markOrFail(t *testing.T, f *musicxml.File, r *detect.Report, o Options) {
	t.Helper()
	if err := Mark(f, r, o); err != nil {
		t.Fatal(err)
	}
}

// Unmark undoes Mark, and Mark replaces its own marks: in the tree that was
// marked and in the file that was stored and read again.
func TestMarksComeAndGo(t *testing.T) {
	eachReport(t, func(t *testing.T, path string, report func(*testing.T, *musicxml.File) *detect.Report) {
		f := open(t, path)
		r := report(t, f)
		before := write(t, f)
		for _, o := range every {
			markOrFail(t, f, r, o)
			marked := write(t, f)
			if o != (Options{}) && len(r.Spots) > 0 && marked == before {
				t.Fatalf("%+v: %d spots and no mark", o, len(r.Spots))
			}
			markOrFail(t, f, r, o)
			same(t, "marked twice", write(t, f), marked)

			again := read(t, marked)
			markOrFail(t, again, report(t, again), o)
			same(t, "marked, stored and marked again", write(t, again), marked)

			if o != (Options{}) && len(r.Spots) > 0 && Unmark(again) == 0 {
				t.Fatalf("%+v: Unmark counts nothing", o)
			}
			same(t, "marked, stored and unmarked", write(t, again), before)
			Unmark(f)
			same(t, "unmarked", write(t, f), before)
		}
	})
}

// The reader reads the same music from a marked score.
func TestMarksAreNoMusic(t *testing.T) {
	eachReport(t, func(t *testing.T, path string, report func(*testing.T, *musicxml.File) *detect.Report) {
		f := open(t, path)
		want, err := f.Score(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		markOrFail(t, f, report(t, f), all)
		got, err := read(t, write(t, f)).Score(musicxml.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got.Words, want.Words = nil, nil // where the marks' own words come in
		for i := 0; i < reflect.TypeOf(*got).NumField(); i++ {
			g, w := reflect.ValueOf(*got).Field(i).Interface(), reflect.ValueOf(*want).Field(i).Interface()
			if !reflect.DeepEqual(g, w) {
				t.Errorf("%s changed\n got %v\nwant %v", reflect.TypeOf(*got).Field(i).Name, g, w)
			}
		}
	})
}

// Every direction is put together as the schema asks, stands in the stream of
// notes at the moment of the notes that it is about, and parts no chord. Every
// bracket that starts stops, under a number that the version has.
func TestMarksStandAtTheirNotes(t *testing.T) {
	eachReport(t, func(t *testing.T, path string, report func(*testing.T, *musicxml.File) *detect.Report) {
		f := open(t, path)
		r := report(t, f)
		markOrFail(t, f, r, all)
		var spots []string
		c := readClock(f)
		lines := map[string]*bracketLines{}
		eachBar(f, func(part string, bar *etree.Element) {
			for i, token := range bar.Child {
				name, ok := announced(token)
				if !ok {
					continue
				}
				dir := nextElement(bar, i)
				checkDirection(t, dir, f.Version)
				if next := nextNote(dir); next != nil && has(next, "chord") {
					t.Errorf("%s: the direction parts a chord", name)
				}
				text, isWords := strings.CutPrefix(name, "words ")
				if !isWords {
					if lines[part] == nil {
						lines[part] = &bracketLines{open: map[string]int{}}
					}
					lines[part].follow(t, name, moment{c.bars[dir], c.starts[dir]})
					continue
				}
				id, _, _ := strings.Cut(text, " · ")
				spots = append(spots, id)
				if !beginsAt(f, c, part, findSpot(t, r, id), r.Score, moment{c.bars[dir], c.starts[dir]}) {
					t.Errorf("%s: it stands in bar %d at %v, where none of the spot's first notes begins", name, c.bars[dir], c.starts[dir])
				}
			}
		})
		for part, l := range lines {
			l.check(t, part)
		}
		slices.Sort(spots)
		var want []string
		for _, s := range r.Spots {
			want = append(want, s.ID)
		}
		slices.Sort(want)
		if !slices.Equal(spots, want) {
			t.Errorf("words for the spots %v, not %v", spots, want)
		}
	})
}

func nextElement(bar *etree.Element, token int) *etree.Element {
	for _, t := range bar.Child[token+1:] {
		if e, ok := t.(*etree.Element); ok {
			return e
		}
	}
	return etree.NewElement("nothing")
}

func nextNote(e *etree.Element) *etree.Element {
	for e = e.NextSibling(); e != nil && e.Tag != "note"; e = e.NextSibling() {
	}
	return e
}

// checkDirection holds a direction against the complex types direction,
// direction-type, bracket and formatted-text of the MusicXML 4.0 schema, and
// against number-level of the schemas of 3.0 and 4.0.
func checkDirection(t *testing.T, dir *etree.Element, version string) {
	t.Helper()
	var tags []string
	for e := range dir.ChildElementsSeq() {
		tags = append(tags, e.Tag)
	}
	order := strings.Join(tags, " ")
	if dir.Tag != "direction" || order != "direction-type" && order != "direction-type staff" {
		t.Fatalf("<%s> with the children %q", dir.Tag, order)
	}
	if symbols := dir.ChildElements()[0].ChildElements(); len(symbols) != 1 {
		t.Fatalf("%d symbols in one direction", len(symbols))
	} else if b := symbols[0]; b.Tag == "bracket" {
		limit := 6
		if strings.HasPrefix(version, "4") {
			limit = 16
		}
		if n := wholeNumber(b.SelectAttrValue("number", "")); n < 1 || n > int64(limit) {
			t.Errorf("bracket number %d in version %s", n, version)
		}
		if b.SelectAttr("line-end") == nil {
			t.Error("a bracket without the line-end that it must have")
		}
	}
}

// moment is a moment by the file's own clock.
type moment struct {
	bar int
	at  score.Rat
}

func (a moment) before(b moment) bool {
	return a.bar < b.bar || a.bar == b.bar && a.at.Less(b.at)
}

// bracketLines are a part's brackets as a reader of the marked score meets
// them.
type bracketLines struct {
	starts, stops []moment
	open          map[string]int // by number, the place in starts
}

// follow reads one end of a bracket: "bracket start 1".
func (l *bracketLines) follow(t *testing.T, name string, now moment) {
	t.Helper()
	words := strings.Fields(name)
	start, open := l.open[words[2]]
	switch {
	case words[1] == "start" && !open:
		l.open[words[2]] = len(l.starts)
		l.starts = append(l.starts, now)
	case words[1] == "stop" && open && l.starts[start].before(now):
		delete(l.open, words[2])
		l.stops = append(l.stops, now)
	default:
		t.Errorf("%s at %v, and the brackets %v are open", name, now, l.open)
	}
}

// check asks that every bracket has stopped, and that none goes backward when
// starts and stops are paired as they come, which is how some programs do it.
func (l *bracketLines) check(t *testing.T, part string) {
	t.Helper()
	if len(l.open) > 0 {
		t.Errorf("part %s: the brackets %v never stop", part, l.open)
	}
	for i := range l.stops {
		if !l.starts[i].before(l.stops[i]) {
			t.Errorf("part %s: the %dth start at %v and the %dth stop at %v go backward", part, i+1, l.starts[i], i+1, l.stops[i])
		}
	}
}

func findSpot(t *testing.T, r *detect.Report, id string) detect.Spot {
	t.Helper()
	for _, s := range r.Spots {
		if s.ID == id {
			return s
		}
	}
	t.Fatalf("there is no spot %q", id)
	return detect.Spot{}
}

// beginsAt reports whether one of the first notes of a spot in a part begins at
// a moment of the file's own clock.
func beginsAt(f *musicxml.File, c clock, part string, spot detect.Spot, s *score.Score, now moment) bool {
	var first score.Rat
	var places []moment
	for _, occ := range spot.Occurrences {
		for _, n := range occ.Notes {
			for _, h := range s.Notes[n].Heads {
				note := f.NoteElements()[h.ID]
				if partOf(note) != part {
					continue
				}
				if places == nil || h.Onset.Less(first) {
					first, places = h.Onset, nil
				}
				if h.Onset == first {
					places = append(places, moment{c.bars[note], c.starts[note]})
				}
			}
		}
	}
	return slices.Contains(places, now)
}

func partOf(note *etree.Element) string {
	if bar := note.Parent(); bar.Tag == "part" {
		return bar.SelectAttrValue("id", "")
	}
	return note.Parent().Parent().SelectAttrValue("id", "")
}
