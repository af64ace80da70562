package musicxml

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/beevik/etree"
)

// twoBars writes two bars such as a pianist meets: triplets against sixteenths
// with ties, a pedal change, a hairpin and a word.
func twoBars(b *strings.Builder, bar int) {
	const staff2 = `<voice>5</voice>%s<staff>2</staff>`
	note := func(step string, octave, length int, rest string) {
		fmt.Fprintf(b, "\n      <note default-x=\"80.5\">\n        <pitch>\n          <step>%s</step>\n          <octave>%d</octave>\n        </pitch>\n        <duration>%d</duration>\n        %s\n      </note>", step, octave, length, rest)
	}
	for i := range 2 {
		fmt.Fprintf(b, "\n    <measure number=\"%d\">", bar+i)
		b.WriteString(`<direction placement="below"><direction-type><dynamics><mf/></dynamics></direction-type><staff>1</staff></direction>`)
		b.WriteString(`<direction placement="above"><direction-type><words font-style="italic">dolce</words></direction-type><staff>1</staff></direction>`)
		b.WriteString(`<direction placement="below"><direction-type><wedge type="crescendo" number="1"/></direction-type><staff>1</staff></direction>`)
		for beat := range 4 {
			for k, step := range []string{"E", "F", "G", "A"} {
				note(step, 4+beat%2, 3, `<voice>1</voice><type>16th</type><staff>1</staff><beam number="1">`+[]string{"begin", "continue", "continue", "end"}[k]+`</beam>`)
			}
		}
		b.WriteString(`<direction placement="below"><direction-type><wedge type="stop" number="1"/></direction-type><staff>1</staff></direction><backup><duration>48</duration></backup>`)
		b.WriteString(`<direction placement="below"><direction-type><pedal type="` + []string{"start", "change"}[i] + `" line="yes"/></direction-type><staff>2</staff></direction>`)
		for range 4 {
			for k, step := range []string{"C", "G", "E"} {
				note(step, 2+k/2, 4, fmt.Sprintf(staff2, `<type>eighth</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>`))
			}
		}
		b.WriteString("\n    </measure>")
	}
}

// scoreOf repeats the two bars until the score has the size, in bytes.
func scoreOf(size int) []byte {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list>
  <part id="P1"><measure number="0"><attributes><divisions>12</divisions><time><beats>4</beats><beat-type>4</beat-type></time><staves>2</staves></attributes>
      <direction><direction-type><words>Andante</words></direction-type><sound tempo="84"/></direction>
      <note><rest measure="yes"/><duration>48</duration><staff>1</staff></note></measure>`)
	for bar := 1; bar == 1 || b.Len() < size; bar += 2 {
		twoBars(&b, bar)
	}
	return []byte(b.String() + "\n  </part>\n</score-partwise>\n")
}

var sizes = []struct {
	name  string
	bytes int
}{{"small", 50 << 10}, {"middling", 500 << 10}, {"4MB", 4 << 20}}

// floor parses a file into a tree and writes it: what any tool that changes a
// score has to do at the least.
func floor(b *testing.B, data []byte) {
	doc := etree.NewDocument()
	if err := doc.ReadFromBytes(data); err != nil {
		b.Fatal(err)
	}
	if _, err := doc.WriteTo(io.Discard); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkFloor is what the others are measured by.
func BenchmarkFloor(b *testing.B) {
	for _, size := range sizes {
		data := scoreOf(size.bytes)
		b.Run(size.name, func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				floor(b, data)
			}
		})
	}
}

// BenchmarkRead reads the file into a tree. x-floor is the time as a multiple
// of the floor's, taken in turn with it.
func BenchmarkRead(b *testing.B) {
	againstFloor(b, func(b *testing.B, data []byte) func() {
		return func() { mustParse(b, data) }
	})
}

// BenchmarkScore makes the score from the tree.
func BenchmarkScore(b *testing.B) {
	againstFloor(b, func(b *testing.B, data []byte) func() {
		f := mustParse(b, data)
		return func() {
			if _, err := f.Score(Options{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func mustParse(b *testing.B, data []byte) *File {
	f, err := Read(bytes.NewReader(data), "bench.musicxml")
	if err != nil {
		b.Fatal(err)
	}
	return f
}

// againstFloor runs a job on each size; prepare is not counted.
func againstFloor(b *testing.B, prepare func(*testing.B, []byte) func()) {
	for _, size := range sizes {
		data := scoreOf(size.bytes)
		b.Run(size.name, func(b *testing.B) {
			job := prepare(b, data)
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			var least time.Duration
			for b.Loop() {
				job()
				b.StopTimer()
				start := time.Now()
				floor(b, data)
				least += time.Since(start)
				b.StartTimer()
			}
			b.ReportMetric(b.Elapsed().Seconds()/least.Seconds(), "x-floor")
		})
	}
}
