package kinds

import (
	"bytes"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest"
)

// longPiece is random music, as MusicXML of about so many bytes.
func longPiece(size int) []byte {
	r := rand.New(rand.NewPCG(1, 7))
	p := scoretest.Piece{QPM: 80}
	var right, left []string
	for bytes := 0; bytes < size; bytes += 60000 { // what six bars of two hands take
		right = append(right, randomVoices(r, 72)[0])
		left = append(left, randomVoices(r, 48)[0])
	}
	p.Right, p.Left = []string{strings.Join(right, " | ")}, []string{strings.Join(left, " | ")}
	return asExported.ReplaceAll(p.MusicXML(), []byte(layout))
}

// asExported and layout give each note what notation programs write besides:
// places, stems and beams. The scores in ../shared/scores take 360 to 550 bytes
// a note, these about 350.
var asExported = regexp.MustCompile(`<note>(.*)<staff>`)

const layout = `<note default-x="123.45" default-y="-15.00" print-object="yes">
          $1
          <stem default-y="-45.50">up</stem>
          <notehead parentheses="no">normal</notehead>
          <staff>`

// readPiece is the time that detection is measured by.
func readPiece(b *testing.B, data []byte) *score.Score {
	f, err := musicxml.Read(bytes.NewReader(data), "bench.musicxml")
	if err != nil {
		b.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		b.Fatal(err)
	}
	return s
}

var sizes = []struct {
	name  string
	bytes int
}{{"small", 50 << 10}, {"middling", 500 << 10}, {"4MB", 4 << 20}}

// BenchmarkAnalyze runs every detector. x-reading is the time as a share of the
// time that reading the same file takes, taken in turn with it.
func BenchmarkAnalyze(b *testing.B) {
	againstReading(b, func(s *score.Score) { detect.Analyze(s, detect.DefaultPlayer(), All) })
}

// BenchmarkDetector runs each detector alone over the 4 MB score.
func BenchmarkDetector(b *testing.B) {
	data := longPiece(4 << 20)
	s := readPiece(b, data)
	for _, d := range All {
		b.Run(string(d.Kind), func(b *testing.B) {
			for b.Loop() {
				d.Find(s, detect.DefaultPlayer())
			}
		})
	}
}

func againstReading(b *testing.B, job func(*score.Score)) {
	for _, size := range sizes {
		data := longPiece(size.bytes)
		s := readPiece(b, data)
		b.Run(size.name, func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			var reading time.Duration
			for b.Loop() {
				job(s)
				b.StopTimer()
				start := time.Now()
				readPiece(b, data)
				reading += time.Since(start)
				b.StartTimer()
			}
			b.ReportMetric(b.Elapsed().Seconds()/reading.Seconds(), "x-reading")
		})
	}
}
