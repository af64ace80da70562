package musicxml

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"hardbars/score"
)

// trust orders what may name the tempo at one place: the highest decides.
type trust int

const (
	noFigure    trust = iota // text only
	wordTrust                // a tempo word
	ratioTrust               // a figure that follows from an earlier one: "più mosso", "♩ = ♪", "a tempo"
	hiddenTrust              // a metronome mark that is not printed
	soundTrust               // <sound tempo>
	markTrust                // a printed metronome mark
)

var tempoSources = map[trust]score.TempoSource{
	wordTrust: score.FromWords, hiddenTrust: score.FromMetronome, soundTrust: score.FromSound, markTrust: score.FromMetronome,
}

// tempoMark is one thing at one place that says something about the tempo.
type tempoMark struct {
	at      score.Rat
	bar     int // index into Score.Bars
	trust   trust
	qpm     float64   // the figure, in quarters a minute; 0 where it follows from an earlier one
	pace    float64   // a tempo word's figure, which the meter and the notes make a tempo; 0 otherwise
	beat    score.Rat // the unit of the figure, in quarters; 0 for that of the earlier one
	ratio   float64   // times the tempo in force; 0 where that does not matter
	back    backTo
	guess   bool   // a word gave the figure
	text    string // as printed
	worded  bool   // the text is words, more than a metronome mark
	gradual bool   // a gradual change begins
}

// Between these a figure can be a tempo: the slowest counts thirty-seconds.
const minQPM, maxQPM = 4, 1000

func sane(qpm float64) bool { return qpm >= minQPM && qpm <= maxQPM }

// readTempos fills in s.Tempos and s.Gradual.
func readTempos(s *score.Score, all []*direction, w *warner) {
	var marks []tempoMark
	for _, d := range all {
		marks = append(marks, d.tempoMarks(s, w)...)
	}
	byTime := func() { sort.SliceStable(marks, func(i, j int) bool { return marks[i].at.Less(marks[j].at) }) }
	byTime()
	joinHeadings(s, marks)
	moveToStart(s, marks)
	byTime()
	readPaces(s, marks)
	marks = withoutPlayback(s, withoutDefaults(marks, w), w)
	assumed := assumedTempo(s)
	c := tempoCourse{tempos: []score.Tempo{assumed}, steady: assumed, warner: w}
	for here := range byPlace(marks, func(m tempoMark) score.Rat { return m.at }) {
		c.pass(here)
	}
	s.Tempos = c.tempos
	freeBars(s, w)
	if s.Tempos[0].From == score.Assumed {
		w.add(wholeFile, "%s: %s = %.0f is assumed, a moderate pace", untilWhere(s), valueSign(assumed.Beat), assumed.QPM/assumed.Beat.Float())
	}
}

// joinHeadings puts a bare metronome mark that follows a tempo word within a bar
// at the place of the word, whose figure it is.
func joinHeadings(s *score.Score, marks []tempoMark) {
	word := -1
	for i := range marks {
		switch m := &marks[i]; {
		case m.trust == wordTrust:
			word = i
		case m.trust == markTrust && word >= 0 && !m.worded && m.at.Sub(marks[word].at).Cmp(s.Bars[marks[word].bar].Length) <= 0:
			m.at, m.bar = marks[word].at, marks[word].bar
			word = -1
		case m.trust == markTrust || m.trust == ratioTrust:
			word = -1
		}
	}
}

// moveToStart lets the first figure, or better the first that is printed, hold
// from the start when it stands in the first bar or, after a pickup, at the first
// full bar.
func moveToStart(s *score.Score, marks []tempoMark) {
	if len(s.Bars) == 0 {
		return
	}
	opening := s.Bars[0]
	pickup := opening.Implicit || opening.Length.Less(opening.Time.Length)
	opens := func(m tempoMark) bool {
		return m.at.Less(opening.End()) || pickup && m.at == opening.End()
	}
	i := slices.IndexFunc(marks, func(m tempoMark) bool { return opens(m) && (m.trust == markTrust || m.trust == wordTrust) })
	if i < 0 {
		i = slices.IndexFunc(marks, func(m tempoMark) bool { return opens(m) && m.qpm > 0 })
	}
	if i < 0 {
		return
	}
	for j, at := 0, marks[i].at; j < len(marks); j++ {
		if marks[j].at.Cmp(at) <= 0 {
			marks[j].at = score.Rat{}
		}
	}
}

// readPaces makes tempos of tempo words: by the meter, and by the notes up to the
// next word or printed mark.
func readPaces(s *score.Score, marks []tempoMark) {
	var notes []float64 // in a quarter, by bar
	for i := range marks {
		m := &marks[i]
		if m.pace == 0 {
			continue
		}
		if notes == nil {
			notes = notesByBar(s)
		}
		first, last := s.BarAt(m.at), len(s.Bars)
		for _, next := range marks[i+1:] {
			if (next.trust == wordTrust || next.trust == markTrust) && m.at.Less(next.at) {
				last = max(first+1, s.BarAt(next.at))
				break
			}
		}
		time := s.Bars[first].Time
		m.qpm = inMeter(m.pace, time, busier(notes[first:last]))
		m.beat = time.BeatFor(m.qpm)
	}
}

// notesByBar is how many notes, struck at different instants, each bar has to a
// quarter; 0 in bars of rests.
func notesByBar(s *score.Score) []float64 {
	notes := make([]float64, len(s.Bars))
	var before score.Rat
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Grace == 0 && (i == 0 || n.Onset != before) {
			notes[n.Bar]++
			before = n.Onset
		}
	}
	for i := range notes {
		notes[i] /= s.Bars[i].Length.Float()
	}
	return notes
}

// busier is how many notes a quarter has in the bars in which four of five do not
// have more.
func busier(notes []float64) float64 {
	var some []float64
	for _, n := range notes {
		if n > 0 {
			some = append(some, n)
		}
	}
	slices.Sort(some)
	if len(some) == 0 || some[len(some)*4/5] < 1.5 {
		return notesInBeat // too few to tell anything
	}
	return some[len(some)*4/5]
}

// beside is how far, as a factor, a playback tempo may lie from the tempo of the
// word that it stands beside.
const beside = 1.75

// withoutDefaults takes out playback tempos that cannot be those of the words at
// the same place: what a program writes where nothing was said.
func withoutDefaults(marks []tempoMark, w *warner) []tempoMark {
	var kept []tempoMark
	for here := range byPlace(marks, func(m tempoMark) score.Rat { return m.at }) {
		word := slices.IndexFunc(here, func(m tempoMark) bool { return m.trust == wordTrust })
		for _, m := range here {
			if word >= 0 && (m.trust == soundTrust || m.trust == hiddenTrust) && (m.qpm > beside*here[word].qpm || here[word].qpm > beside*m.qpm) {
				w.add(m.bar, "a playback tempo of %g quarter notes a minute is not that of %q and is left out", m.qpm, short(here[word].text))
				continue
			}
			kept = append(kept, m)
		}
	}
	return kept
}

// assumedBeats a minute are taken where a score names no tempo: between
// Andante and Moderato. Common practice.
const assumedBeats = 90

// A beat shorter than a quarter, and not dotted, is not what a player counts.
func assumedTempo(s *score.Score) score.Tempo {
	beat := beatAt(s, score.Rat{})
	if len(s.Bars) > 0 && beat.Less(score.Int(1)) && beat.Num() == 1 {
		time := s.Bars[0].Time
		qpm := inMeter(assumedBeats, time, busier(notesByBar(s)))
		return score.Tempo{QPM: qpm, Beat: time.BeatFor(qpm), From: score.Assumed}
	}
	return score.Tempo{QPM: assumedBeats * beat.Float(), Beat: beat, From: score.Assumed}
}

// untilWhere says for how long the score names no tempo.
func untilWhere(s *score.Score) string {
	for _, t := range s.Tempos {
		if t.From != score.Assumed {
			return fmt.Sprintf("the score names no tempo before bar %s", s.Bars[s.BarAt(t.At)].Number)
		}
	}
	return "the score names no tempo"
}

// beatAt is the beat that a player counts at a place, in quarters.
func beatAt(s *score.Score, at score.Rat) score.Rat {
	if len(s.Bars) == 0 {
		return score.Int(1)
	}
	return s.Bars[s.BarAt(at)].Time.Beat()
}

// tempoCourse follows the tempo through the piece.
type tempoCourse struct {
	*warner
	tempos   []score.Tempo // never empty
	steady   score.Tempo   // what "a tempo" goes back to
	newer    *score.Tempo  // a metronome mark within a gradual change: a step of it, or a new steady tempo
	changing bool          // a gradual change has begun
}

// best is the mark of some at one place that is trusted most.
func best(marks []tempoMark) tempoMark {
	return slices.MaxFunc(marks, func(a, b tempoMark) int { return cmp.Compare(a.trust, b.trust) })
}

func (c *tempoCourse) now() score.Tempo { return c.tempos[len(c.tempos)-1] }

// pass takes what stands at one place.
func (c *tempoCourse) pass(marks []tempoMark) {
	before := c.now()
	gradual := slices.ContainsFunc(marks, func(m tempoMark) bool { return m.gradual })
	if best := best(marks); best.trust != noFigure {
		t := c.tempo(best)
		t.Text = joined(marks)
		if best.guess {
			c.warner.add(best.bar, "%q gives no figure: %g quarter notes a minute are taken (common practice)", short(t.Text), math.Round(t.QPM))
		}
		if best.back != nowhere || !gradual {
			c.settle(t, slices.ContainsFunc(marks, func(m tempoMark) bool { return m.worded }))
		}
		c.add(t)
	}
	if gradual {
		c.unsettle(before)
	}
}

// tempo works out the figure of a mark.
func (c *tempoCourse) tempo(m tempoMark) score.Tempo {
	if m.qpm > 0 {
		return score.Tempo{At: m.at, QPM: m.qpm, Beat: m.beat, From: tempoSources[m.trust]}
	}
	t := c.now()
	switch m.back {
	case toSteady:
		t = c.steady
	case toFirst:
		t = c.tempos[0]
	}
	t.At = m.at
	if sane(t.QPM * m.ratio) {
		t.QPM *= m.ratio
	}
	if m.beat.Sign() > 0 {
		t.Beat = m.beat
	}
	return t
}

// settle notes a printed tempo as the one to come back to. A bare metronome
// mark within a gradual change may be no more than a step of it.
func (c *tempoCourse) settle(t score.Tempo, worded bool) {
	switch {
	case t.Text == "" && c.steady.From != score.Assumed:
	case c.changing && !worded:
		c.newer = &t
	default:
		c.steady, c.newer, c.changing = t, nil, false
	}
}

// unsettle begins a gradual change: "a tempo" will mean the tempo before it.
func (c *tempoCourse) unsettle(before score.Tempo) {
	switch {
	case c.newer != nil:
		c.steady, c.newer = *c.newer, nil
	case !c.changing:
		c.steady = before
	}
	c.changing = true
}

// add appends a tempo, unless it says nothing new.
func (c *tempoCourse) add(t score.Tempo) {
	switch last := c.now(); {
	case last.At == t.At:
		c.tempos[len(c.tempos)-1] = t
	case t.Text != "" || t.QPM != last.QPM:
		c.tempos = append(c.tempos, t)
	}
}

// maxTexts is more than stands at one place of any page.
const maxTexts = 8

// joined is the text of all marks at one place, each once.
func joined(marks []tempoMark) string {
	var texts []string
	for _, m := range marks {
		if m.text != "" && len(texts) < maxTexts && !slices.Contains(texts, m.text) {
			texts = append(texts, m.text)
		}
	}
	return strings.Join(texts, " ")
}

// tempoMarks is what one direction says about the tempo.
func (d *direction) tempoMarks(s *score.Score, w *warner) []tempoMark {
	marks := d.wordMarks(s)
	for _, sign := range d.signs {
		if sign.Tag == "metronome" {
			m := metronomeOf(sign)
			if !m.readable() {
				w.add(d.bar, "a metronome mark (%q) cannot be read", short(m.perMinute))
			}
			for _, mark := range m.marks(hidden(sign)) {
				if mark.trust == hiddenTrust {
					mark.beat = s.Bars[d.bar].Time.BeatFor(mark.qpm)
				}
				marks = append(marks, mark)
			}
		}
	}
	marks = append(marks, d.soundMark(s, w)...)
	for i := range marks {
		marks[i].at, marks[i].bar = d.soundAt, d.bar
	}
	return slices.DeleteFunc(marks, func(m tempoMark) bool {
		wrong := m.trust >= hiddenTrust && !sane(m.qpm)
		if wrong {
			w.add(d.bar, "a tempo of %g quarter notes a minute cannot be meant and is left out", m.qpm)
		}
		return wrong
	})
}

// soundMark is the tempo for playback, and the words beside it. Some writers
// print the bare figure as words.
func (d *direction) soundMark(s *score.Score, w *warner) []tempoMark {
	tempo := d.soundAttr("tempo")
	if tempo == "" || !firstTime(d.soundAttr("time-only")) {
		return nil
	}
	qpm, err := strconv.ParseFloat(strings.Replace(tempo, ",", ".", 1), 64)
	if err != nil {
		w.add(d.bar, "the tempo %q is no number and is left out", short(tempo))
		return nil
	}
	m := tempoMark{trust: soundTrust, qpm: qpm, beat: s.Bars[d.bar].Time.BeatFor(qpm), text: d.text, worded: d.text != ""}
	if _, err := strconv.ParseFloat(d.text, 64); err == nil {
		d.read, m.text, m.worded = true, "", false
	}
	return []tempoMark{m}
}

// firstTime reports whether something that holds for some passes of a repeat
// only, as "1,2", holds at the first.
func firstTime(timeOnly string) bool {
	first, _, _ := strings.Cut(timeOnly, ",")
	return first == "" || strings.TrimSpace(first) == "1"
}

// wordMarks is what the words say about the tempo.
func (d *direction) wordMarks(s *score.Score) []tempoMark {
	if d.text == "" {
		return nil
	}
	beat := beatAt(s, d.soundAt)
	var marks []tempoMark
	if d.phrase.gradual() {
		marks = append(marks, tempoMark{gradual: true})
		if d.staff >= 0 {
			s.Gradual = append(s.Gradual, d.words())
		}
	}
	figure := metronomeInWords(d.text, beat).marks(false)
	if len(figure) == 0 {
		figure = d.phrase.tempoMarks(s.BarAt(d.soundAt) == 0, beat, beatBefore(s, d.soundAt))
	}
	for i := range figure {
		figure[i].text, figure[i].worded = d.text, true
	}
	marks = append(marks, figure...)
	d.read = len(marks) > 0
	return marks
}

// beatBefore is the beat in the bar before a place, in quarters.
func beatBefore(s *score.Score, at score.Rat) score.Rat {
	if bar := s.BarAt(at); bar > 0 {
		return s.Bars[bar-1].Time.Beat()
	}
	return beatAt(s, at)
}

// tempoMarks reads tempo words: nothing, or one mark. Opening reports whether they
// stand at the head of the piece; beat is the bar's beat, before the one of the
// bar before, in quarters.
func (p phrase) tempoMarks(opening bool, beat, before score.Rat) []tempoMark {
	if _, dance := p.dance(); dance {
		// "In tempo di minuetto" does not go back.
	} else if back := p.back(); back != nowhere {
		return []tempoMark{{trust: ratioTrust, back: back}}
	}
	if p.gradual() {
		return nil
	}
	if p.sameBeat() {
		return []tempoMark{{trust: ratioTrust, beat: beat, ratio: beat.Div(before).Float()}}
	}
	if ratio := p.ratio(); ratio > 0 {
		return []tempoMark{{trust: ratioTrust, ratio: ratio, guess: true}}
	}
	if figure, ok := p.pace(opening); ok {
		return []tempoMark{{trust: wordTrust, pace: figure, qpm: figure * beat.Float(), beat: beat, guess: true}}
	}
	return nil
}
