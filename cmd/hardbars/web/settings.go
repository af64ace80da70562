package web

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"

	"hardbars/annotate/plan"
	"hardbars/detect"
)

// Settings is what was changed for one piece, each as the player typed it; ""
// where nothing was said.
type Settings struct {
	Span        string `json:"span"`
	Level       string `json:"level"`
	Tempo       string `json:"tempo"`
	MiddlePedal string `json:"middle_pedal"`
	Minutes     string `json:"minutes"` // a day
	Days        string `json:"days"`    // a week
}

func settingsFrom(form url.Values) Settings {
	field := func(name string) string { return strings.TrimSpace(form.Get(name)) }
	return Settings{field("span"), field("level"), field("tempo"), field("middle-pedal"), field("minutes"), field("days")}
}

// player changes a player by the settings. The error says which cannot be.
func (s Settings) player(p detect.Player) (detect.Player, error) {
	for _, set := range [][2]string{{"span", s.Span}, {"level", s.Level}, {"tempo", s.Tempo}, {"middle-pedal", s.MiddlePedal}} {
		if set[1] == "" {
			continue
		}
		// "flag" is what is asked for this once, on the page as in the command.
		if err := p.Set(set[0], set[1], "flag"); err != nil {
			return p, err
		}
	}
	return p, nil
}

// planned reports whether anything was said about when to practise: only then is
// there a plan on the sheet, as with the command.
func (s Settings) planned() bool { return s.Minutes != "" || s.Days != "" }

// plan is when the player practises, from a day on.
func (s Settings) plan(today time.Time) (plan.Options, error) {
	o := plan.Options{Minutes: plan.UsualMinutes, Days: plan.UsualDays, Start: today, End: today.AddDate(0, 0, 7*plan.UsualWeeks-1)}
	for _, set := range []struct {
		name, text string
		value      *int
	}{{"minutes a day", s.Minutes, &o.Minutes}, {"days a week", s.Days, &o.Days}} {
		if set.text == "" {
			continue
		}
		n, err := strconv.Atoi(set.text)
		if err != nil {
			return o, fmt.Errorf("%s: %q: give a whole number", set.name, set.text)
		}
		*set.value = n
	}
	return o, o.Check()
}
