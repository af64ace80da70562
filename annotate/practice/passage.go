package practice

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"hardbars/detect"
	"hardbars/score"
)

// Lesson is what a teacher says about a passage.
type Lesson struct {
	Title         string   // "right hand in thirds while the left hand leaps"
	Why           string   // one sentence in plain words
	Steps         []string // sentences, three at most
	Start, Target detect.Pace
	Rungs         []detect.Pace // metronome marks from Start to Target; nil where tempo does not matter or nothing is to climb
}

// ForPassage is the lesson on a passage of a report.
func ForPassage(r *detect.Report, p *detect.Passage) Lesson {
	l := Lesson{Title: passageTitle(r, p), Why: whyWords(r, p)}
	l.Start, l.Target = passagePaces(r, p)
	l.Rungs = Rungs(l.Start, l.Target)
	l.say(p, passageSteps(r, p, l.Start), map[string]int{})
	return l
}

// say takes the first steps that no passage says yet.
func (l *Lesson) say(p *detect.Passage, steps []step, saidIn map[string]int) {
	for _, s := range steps {
		if saidIn[s.words] == 0 && len(l.Steps) < mostSteps {
			l.Steps, saidIn[s.words] = append(l.Steps, s.String()), p.Order+1
		}
	}
}

// ForShortlist are the lessons on the passages of the shortlist, in order: what
// one of them says none says again.
func ForShortlist(r *detect.Report) map[*detect.Passage]Lesson {
	lessons := map[*detect.Passage]Lesson{}
	saidIn := map[string]int{} // the passage that says a step, plus 1
	for i := range r.Passages {
		p := &r.Passages[i]
		if !p.Shortlist {
			continue
		}
		l := ForPassage(r, p)
		l.Steps = nil
		all := passageSteps(r, p, l.Start)
		if len(all) > 0 && saidIn[all[0].words] > 0 {
			l.Steps = []string{fmt.Sprintf("Begin %s as passage %d.", barsOf(r, p), saidIn[all[0].words]-1)}
		}
		l.say(p, all, saidIn)
		lessons[p] = l
	}
	return lessons
}

// barsOf names the bars of a passage as printed: "bar 12", "bars 12–15".
func barsOf(r *detect.Report, p *detect.Passage) string {
	first, last := r.Score.Bars[p.First].Number, r.Score.Bars[p.Last].Number
	if p.First == p.Last {
		return "bar " + first
	}
	return "bars " + first + "–" + last
}

// passagePaces are the tempos to begin with and to reach, in the beat of the
// bar where the passage is hardest: not slower than makes musical sense.
func passagePaces(r *detect.Report, p *detect.Passage) (start, target detect.Pace) {
	at := p.Troubles[0].Hardest.From
	target = r.PaceAt(at, r.Clock.QPM(at))
	start = target
	if p.Comfortable > 0 && p.Comfortable < p.Target {
		share := max(p.Comfortable/p.Target, slowestShare)
		start.PerMinute = max(1, int(float64(target.PerMinute)*share))
	}
	return start, target
}

// slowestShare is the slowest start, as a share of the tempo to reach: slower,
// the movement is another one and the music no longer holds together. Common
// practice.
const slowestShare = 0.4

// marks are the tempos on a metronome's scale, in beats a minute: by 2 to 60,
// by 3 to 72, by 4 to 120, by 6 to 144, by 8 from there. From memory; the same on the
// pendulum metronomes of two centuries.
var marks = metronomeMarks()

func metronomeMarks() []int {
	var all []int
	for n := 20; n <= 320; n += apart(n) {
		all = append(all, n)
	}
	return all
}

func apart(n int) int {
	switch {
	case n < 60:
		return 2
	case n < 72:
		return 3
	case n < 120:
		return 4
	case n < 144:
		return 6
	}
	return 8
}

// mostRungs is how many tempos there are to tick at most. Common practice.
const mostRungs = 7

// Rungs are metronome marks from one tempo to another, in even ratios; the last
// is the tempo to reach. None where there is nothing to climb.
func Rungs(start, target detect.Pace) []detect.Pace {
	if start.PerMinute >= target.PerMinute {
		return nil
	}
	var between []int
	for _, m := range marks {
		if m >= start.PerMinute && m < target.PerMinute {
			between = append(between, m)
		}
	}
	if len(between) == 0 {
		between = []int{start.PerMinute}
	}
	ratio := float64(target.PerMinute) / float64(between[0])
	var rungs []detect.Pace
	for i := range mostRungs - 1 {
		aim := float64(between[0]) * math.Pow(ratio, float64(i)/float64(mostRungs-1))
		nearest := slices.MinFunc(between, func(a, b int) int {
			return int(1000*(math.Abs(float64(a)-aim))) - int(1000*(math.Abs(float64(b)-aim)))
		})
		if n := len(rungs); n == 0 || rungs[n-1].PerMinute < nearest {
			rungs = append(rungs, detect.Pace{Beat: target.Beat, PerMinute: nearest})
		}
	}
	return append(rungs, target)
}

// passageTitle names the hardest trouble, and the next where it is nearly as
// hard: "right hand in thirds while the left hand leaps".
func passageTitle(r *detect.Report, p *detect.Passage) string {
	first := p.Troubles[0]
	title := state(r, first)
	for _, t := range p.Troubles[1:] {
		if t.Hardest.Demand < 0.75*first.Hardest.Demand {
			break
		}
		switch {
		case t.Hand == score.Both || first.Hand == score.Both:
			return title + "; " + state(r, t)
		case t.Hand != first.Hand && t.Kind == first.Kind:
			return "both hands " + r.Speech(t.Kind).State
		case t.Hand != first.Hand:
			return title + " while the " + t.Hand.Name() + " " + r.Speech(t.Kind).Does
		case t.Kind != first.Kind:
			return title + ", and it " + r.Speech(t.Kind).Does
		}
	}
	return title
}

// state is a trouble as the state of a hand: "right hand in thirds".
func state(r *detect.Report, t detect.Trouble) string {
	words := r.Speech(t.Kind)
	if t.Hand == score.Both {
		return words.Both(t.Hardest.Label)
	}
	return t.Hand.Name() + " " + words.State
}

// whyWords is what makes a passage hard and how far it is from comfort.
func whyWords(r *detect.Report, p *detect.Passage) string {
	t := p.Troubles[0]
	what := t.Hardest.Label
	if t.Hardest.Plain != "" {
		what = t.Hardest.Plain
	}
	if p.First != p.Last {
		bar := max(p.First, r.Score.BarAt(t.Hardest.From))
		what = fmt.Sprintf("Bar %s: %s", r.Score.Bars[bar].Number, what)
	}
	return strings.TrimSuffix(capital(what), ".") + "; " + howFar(t.Hardest) + "."
}

// howFar says in words how a place stands to what is comfortable.
func howFar(o *detect.Occurrence) string {
	d := o.Demand
	if !o.Timed {
		switch {
		case d <= 1:
			return "within your reach"
		case d <= 1.15:
			return "at the edge of what is comfortable at any tempo"
		}
		return "more than is comfortable at any tempo, so look for another way first"
	}
	switch {
	case d <= 0.7:
		return "well within reach at this tempo"
	case d <= 1:
		return "within reach at this tempo"
	case d <= 1.12:
		return "a little slower is comfortable now"
	case d <= 1.45:
		return "about three quarters of that speed is comfortable now"
	case d <= 1.75:
		return "about two thirds of that speed is comfortable now"
	case d <= 2.4:
		return "about half that speed is comfortable now"
	case d <= 3.4:
		return "about a third of that speed is comfortable now"
	}
	return "far from comfortable yet: begin slowly, or leave something out"
}

// mostSteps is how many steps a passage has on the sheet. Common practice: what
// can be kept in mind while playing.
const mostSteps = 3

// step is one step, and for which hand and bar it is.
type step struct {
	where string // "Left hand, bar 12"; "" where that is plain
	words string
}

func (s step) String() string {
	if s.where == "" {
		return s.words
	}
	words := s.words
	if letters := []rune(words); unicode.IsLower(letters[1]) {
		words = strings.ToLower(string(letters[:1])) + string(letters[1:])
	}
	return s.where + ": " + words
}

// passageSteps are what there is to say, the most important first: two steps
// of the hardest trouble, one of the next, and what is left of the hardest.
func passageSteps(r *detect.Report, p *detect.Passage, start detect.Pace) []step {
	var steps []step
	for _, words := range troubleSteps(r, p, p.Troubles[0], start) {
		steps = append(steps, step{words: words})
	}
	if len(p.Troubles) > 1 {
		next := p.Troubles[1]
		if more := troubleSteps(r, p, next, start); len(more) > 0 {
			steps = slices.Insert(steps, min(2, len(steps)), step{where(r, p, next, more[0]), more[0]})
		}
	}
	return steps
}

// where says for which hand and bar a step is, as far as it does not itself and
// they are not those of the hardest trouble.
func where(r *detect.Report, p *detect.Passage, t detect.Trouble, words string) string {
	var names []string
	if t.Hand != p.Troubles[0].Hand {
		names = append(names, t.Hand.Name())
	}
	if p.First != p.Last && !strings.Contains(words, "bar ") {
		names = append(names, "bar "+r.Score.Bars[max(p.First, r.Score.BarAt(t.Hardest.From))].Number)
	}
	return capital(strings.Join(names, ", "))
}

// troubleSteps are those of one trouble, as far as it lies in the passage.
func troubleSteps(r *detect.Report, p *detect.Passage, t detect.Trouble, start detect.Pace) []string {
	whole := r.Spot(t.Spot)
	if whole == nil {
		return nil
	}
	spot := within(r, whole, p, t.Hardest)
	at := detect.NewPractice(r, spot)
	if at.Timed() && start.Beat == at.Target.Beat {
		at.Start = start
	}
	l, ok := at.Lesson()
	if !ok {
		l = place{at}.general()
	}
	return l.Steps
}

// within is what of a hot spot lies in a passage; its hardest place is given.
func within(r *detect.Report, whole *detect.Spot, p *detect.Passage, hardest *detect.Occurrence) *detect.Spot {
	spot := *whole
	spot.Occurrences, spot.Hardest = nil, -1
	for _, o := range whole.Occurrences {
		same := o.From == hardest.From && slices.Equal(o.Notes, hardest.Notes)
		if same {
			spot.Hardest = len(spot.Occurrences)
		}
		if same || !o.From.Less(p.From) && o.From.Less(p.To) {
			spot.Occurrences = append(spot.Occurrences, o)
		}
	}
	if spot.Hardest < 0 {
		spot.Occurrences, spot.Hardest = append(spot.Occurrences, *hardest), len(spot.Occurrences)
	}
	spot.From, spot.To = score.Max(spot.From, p.From), score.Min(spot.To, p.To)
	spot.FirstBar, spot.LastBar = max(spot.FirstBar, p.First), min(spot.LastBar, p.Last)
	return &spot
}

func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
