package plan

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	ics "github.com/arran4/golang-ical"
)

// WriteICalendar writes the plan as an iCalendar file (RFC 5545): an event for
// each day of practice, of a whole day, since the plan knows no hour, and
// shown as free time. The same plan gives the same bytes: the stamp of every
// event is the plan's first day, and the event of a day of a piece keeps its
// identifier from plan to plan, so that a new plan takes the old one's place.
// It fails when w does, and on a plan without days: a calendar needs an event.
func (p *Plan) WriteICalendar(w io.Writer) error {
	if len(p.Days) == 0 {
		return errors.New("the score has no bars, so there is no day to put in a calendar")
	}
	cal := ics.NewCalendar()
	cal.SetProductId("-//hardbars//practice plan//EN")
	cal.SetCalscale("GREGORIAN")
	for _, d := range p.Days {
		p.addEvent(cal, d)
	}
	return cal.SerializeTo(w, ics.WithNewLine("\r\n"))
}

func (p *Plan) addEvent(cal *ics.Calendar, d Day) {
	event := cal.AddEvent(p.uid(d))
	event.SetDtStampTime(midnight(p.Options.Start))
	event.SetAllDayStartAt(d.Date)
	event.SetAllDayEndAt(d.Date.AddDate(0, 0, 1))
	event.SetSummary(clean(fmt.Sprintf("%s: %d min", p.title(), d.Minutes())))
	var lines []string
	for _, it := range d.Items {
		about, what := p.Line(it)
		lines = append(lines, fmt.Sprintf("%d min: %s", it.Minutes, about), what)
		lines = append(append(lines, it.Said()...), "")
	}
	for i := range lines {
		lines[i] = clean(lines[i])
	}
	event.SetDescription(strings.TrimSpace(strings.Join(slices.Compact(lines), "\n")))
	event.SetTimeTransparency(ics.TransparencyTransparent)
}

// uid is made of the day and the piece: its words and its bars.
func (p *Plan) uid(d Day) string {
	s := p.Report.Score
	sum := sha256.Sum256(fmt.Appendf(nil, "%q %q %d %s", s.Title, s.Composer, len(s.Bars), s.End()))
	return fmt.Sprintf("%s-%x@hardbars", d.Date.Format("20060102"), sum[:8])
}

func (p *Plan) title() string {
	if p.Report.Score.Title == "" {
		return "Untitled piece"
	}
	return p.Report.Score.Title
}

// clean takes out the control characters that iCalendar does not allow.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "?"))
}
