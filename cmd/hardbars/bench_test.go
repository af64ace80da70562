package main

import (
	"bytes"
	"io"
	"os"
	"runtime"
	"strconv"
	"testing"
	"time"

	"github.com/beevik/etree"

	"hardbars/annotate/mark"
	"hardbars/annotate/sheet"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
)

// copies is how often the demo, of 180 kB and 32 bars, is set end to end.
var copies = []struct {
	name string
	n    int
}{{"small", 1}, {"middling", 4}, {"4MB", 24}}

// longScore is the demo so many times over, its bars numbered through.
func longScore(b *testing.B, times int) []byte {
	doc := etree.NewDocument()
	if err := doc.ReadFromFile("../../testdata/lantern-barcarolle.musicxml"); err != nil {
		b.Fatal(err)
	}
	part := doc.Root().SelectElement("part")
	once := part.SelectElements("measure")
	for range times - 1 {
		for _, bar := range once {
			part.AddChild(bar.Copy())
		}
	}
	for i, bar := range part.SelectElements("measure") {
		bar.CreateAttr("number", strconv.Itoa(i+1))
	}
	data, err := doc.WriteToBytes()
	if err != nil {
		b.Fatal(err)
	}
	return data
}

// floor reads a score into a tree and writes it, and nothing else.
func floor(b *testing.B, data []byte) {
	doc := etree.NewDocument()
	if err := doc.ReadFromBytes(data); err != nil {
		b.Fatal(err)
	}
	if _, err := doc.WriteTo(io.Discard); err != nil {
		b.Fatal(err)
	}
}

// usage is what a job took.
type usage struct {
	time  time.Duration
	bytes uint64 // allocated in all
}

func (u *usage) measure(job func()) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	job()
	u.time += time.Since(start)
	runtime.ReadMemStats(&after)
	u.bytes += after.TotalAlloc - before.TotalAlloc
}

// BenchmarkStudy runs the whole of study, files included, in turn with the
// floor: x-time and x-bytes are its share of the floor's time and of what the
// floor allocates.
func BenchmarkStudy(b *testing.B) {
	for _, size := range copies {
		b.Run(size.name, func(b *testing.B) {
			data := longScore(b, size.n)
			dir := b.TempDir()
			in := dir + "/score.musicxml"
			if err := os.WriteFile(in, data, 0o644); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(len(data)))
			var whole, least usage
			for b.Loop() {
				whole.measure(func() {
					if code := run([]string{"study", in}, nil, io.Discard, io.Discard); code != exitDone {
						b.Fatalf("exit code %d", code)
					}
				})
				least.measure(func() { floor(b, data) })
			}
			b.ReportMetric(whole.time.Seconds()/least.time.Seconds(), "x-time")
			b.ReportMetric(float64(whole.bytes)/float64(least.bytes), "x-bytes")
		})
	}
}

// BenchmarkStage runs each stage of study by itself.
func BenchmarkStage(b *testing.B) {
	for _, size := range copies {
		data := longScore(b, size.n)
		read := func() *musicxml.File {
			f, err := musicxml.Read(bytes.NewReader(data), "score.musicxml")
			if err != nil {
				b.Fatal(err)
			}
			return f
		}
		f := read()
		s, err := f.Score(musicxml.Options{})
		if err != nil {
			b.Fatal(err)
		}
		music, err := f.Notation(musicxml.Options{})
		if err != nil {
			b.Fatal(err)
		}
		report := detect.Analyze(s, detect.DefaultPlayer(), kinds.All).WithoutQuiet()
		marks := mark.Options{Words: true, Brackets: true, Colour: true}
		stages := []struct {
			name string
			run  func() error
		}{
			{"floor", func() error { floor(b, data); return nil }},
			{"read", func() error { read(); return nil }},
			{"score", func() error { _, err := f.Score(musicxml.Options{}); return err }},
			{"notation", func() error { _, err := f.Notation(musicxml.Options{}); return err }},
			{"analyze", func() error { detect.Analyze(s, detect.DefaultPlayer(), kinds.All); return nil }},
			{"mark", func() error { return mark.Mark(f, report, marks) }},
			{"write", func() error { _, err := f.WriteTo(io.Discard); return err }},
			{"sheet", func() error { return sheet.Write(io.Discard, report, sheet.Options{Paper: "a4", Music: music}) }},
		}
		for _, stage := range stages {
			b.Run(size.name+"/"+stage.name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := stage.run(); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
