package main

import (
	"io"
	"os"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// stages is how many steps a study of one score has.
const stages = 3

// patience is how long one score may take before a bar is shown for it.
const patience = time.Second

// progressBar shows a bar on a terminal: at once when there are several scores,
// otherwise when the work takes longer than patience. Each score has as many steps.
type progressBar struct {
	mu    sync.Mutex // the bar may be shown by the timer while a step is counted
	bar   *progressbar.ProgressBar
	timer *time.Timer
	name  string
	done  int
}

func newProgressBar(w io.Writer, scores, steps int) *progressBar {
	p := &progressBar{}
	if f, ok := w.(*os.File); !ok || !term.IsTerminal(int(f.Fd())) {
		return p
	}
	wait := patience
	if scores > 1 {
		wait = 0
	}
	p.timer = time.AfterFunc(wait, func() { p.show(w, scores*steps) })
	return p
}

func (p *progressBar) show(w io.Writer, steps int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.bar = progressbar.NewOptions(steps,
		progressbar.OptionSetWriter(w),
		progressbar.OptionSetWidth(30),
		progressbar.OptionSetPredictTime(false),
		progressbar.OptionClearOnFinish())
	p.bar.Describe(p.name)
	p.bar.Set(p.done)
}

// start says which score is in hand.
func (p *progressBar) start(name string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.name = name
	if p.bar != nil {
		p.bar.Describe(name)
	}
}

// step counts one stage of one score.
func (p *progressBar) step() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
	if p.bar != nil {
		p.bar.Set(p.done)
	}
}

// finish clears the bar away.
func (p *progressBar) finish() {
	if p.timer != nil {
		p.timer.Stop()
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.bar != nil {
		p.bar.Finish()
		p.bar.Clear()
	}
}
