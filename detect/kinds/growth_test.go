//go:build unix

package kinds

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/form"
	"hardbars/score/musicxml"
)

// growthSizes are how many notes, or directions, the scores of BenchmarkGrowth have.
var growthSizes = []int{1_000, 10_000, 100_000, 400_000}

// growthShapes are scores that try what grows: each returns the music of so many notes,
// bar by bar.
var growthShapes = []struct {
	name string
	most int // notes: beyond what files of this shape are tried with
	bars func(n int) []string
}{
	{"varied", 400_000, func(n int) []string {
		rng := rand.New(rand.NewPCG(1, 1))
		bars := make([]string, n/16)
		for i := range bars {
			for range 16 {
				bars[i] += noteXML("CDEFGAB"[rng.IntN(7)], 3+rng.IntN(4), 1, "")
			}
		}
		return bars
	}},
	{"equal bars", 400_000, func(n int) []string {
		bar := strings.Repeat(noteXML('C', 3, 1, "")+noteXML('E', 6, 1, ""), 8)
		return strings.Split(strings.Repeat(bar+"|", n/16-1)+bar, "|")
	}},
	{"one bar", 200_000, func(n int) []string {
		rng := rand.New(rand.NewPCG(1, 1))
		var b strings.Builder
		for range n {
			b.WriteString(noteXML("CDEFGAB"[rng.IntN(7)], 3+rng.IntN(4), 1, ""))
		}
		return []string{b.String()}
	}},
	{"grace notes", 10_000, func(n int) []string {
		return []string{strings.Repeat(noteXML('D', 5, 0, "<grace/>"), n) + noteXML('C', 5, 16, "")}
	}},
	{"directions", 100_000, func(n int) []string {
		return []string{strings.Repeat("<direction><direction-type><words>dolce</words></direction-type></direction>", n) + noteXML('C', 5, 16, "")}
	}},
}

func noteXML(step byte, octave, sixteenths int, grace string) string {
	duration := fmt.Sprintf("<duration>%d</duration>", sixteenths)
	if grace != "" {
		duration = ""
	}
	return fmt.Sprintf("<note>%s<pitch><step>%c</step><octave>%d</octave></pitch>%s<voice>1</voice></note>", grace, step, octave, duration)
}

func document(bars []string) string {
	var b strings.Builder
	b.WriteString(`<score-partwise><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list><part id="P1">`)
	for i, bar := range bars {
		fmt.Fprintf(&b, `<measure number="%d">`, i+1)
		if i == 0 {
			b.WriteString(`<attributes><divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes><sound tempo="120"/>`)
		}
		b.WriteString(bar + "</measure>")
	}
	b.WriteString("</part></score-partwise>")
	return b.String()
}

// BenchmarkGrowth reports, for each stage of the work and each shape of score, by
// which power of the number of notes the time grows between the two largest growthSizes
// that take no longer than patience.
func BenchmarkGrowth(b *testing.B) {
	const patience = 20 * time.Second
	stages := []string{"reading", "score", "notation", "form", "detect"}
	for _, shape := range growthShapes {
		b.Run(shape.name, func(b *testing.B) {
			took := map[string][]time.Duration{}
			var tried []int
			for _, n := range growthSizes {
				if n > shape.most {
					break
				}
				tried = append(tried, n)
				started := busy(b)
				for stage, d := range timeStages(b, document(shape.bars(n))) {
					took[stage] = append(took[stage], d)
				}
				if busy(b)-started > patience {
					break
				}
			}
			last := len(tried) - 1
			for _, stage := range stages {
				exponent := math.Log(float64(took[stage][last])/float64(took[stage][last-1])) / math.Log(float64(tried[last])/float64(tried[last-1]))
				b.Logf("%s of %s: %v for %v notes: exponent %.2f", stage, shape.name, took[stage], tried, exponent)
				b.ReportMetric(exponent, stage+"-exponent")
			}
		})
	}
}

// busy is the processor time that the test has used: other programs do not count.
func busy(b *testing.B) time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		b.Fatal(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}

// timeStages does the whole work once.
func timeStages(b *testing.B, text string) map[string]time.Duration {
	took := map[string]time.Duration{}
	timed := func(stage string, work func() error) {
		runtime.GC()
		started := busy(b)
		if err := work(); err != nil {
			b.Fatal(err)
		}
		took[stage] = max(busy(b)-started, time.Microsecond)
	}
	var f *musicxml.File
	var s *score.Score
	timed("reading", func() (err error) { f, err = musicxml.Read(strings.NewReader(text), "growth"); return err })
	timed("score", func() (err error) { s, err = f.Score(musicxml.Options{}); return err })
	timed("notation", func() error { _, err := f.Notation(musicxml.Options{}); return err })
	timed("form", func() error { form.Find(s); return nil })
	timed("detect", func() error { detect.Analyze(s, detect.DefaultPlayer(), All); return nil })
	return took
}
