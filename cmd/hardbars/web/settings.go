package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
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

// settingName is a setting as forms call it and as people do.
type settingName struct{ Name, Words string }

var settingNames = []settingName{
	{"span", "Hand span"}, {"level", "Level"}, {"tempo", "Tempo to reach"}, {"middle-pedal", "Middle pedal"},
	{"minutes", "Minutes a day"}, {"days", "Days a week"},
}

// field is the setting of a name.
func (s *Settings) field(name string) *string {
	return map[string]*string{
		"span": &s.Span, "level": &s.Level, "tempo": &s.Tempo, "middle-pedal": &s.MiddlePedal, "minutes": &s.Minutes, "days": &s.Days,
	}[name]
}

func settingsFrom(form url.Values) Settings {
	var s Settings
	for _, set := range settingNames {
		*s.field(set.Name) = strings.TrimSpace(form.Get(set.Name))
	}
	return s
}

// player changes a player by the settings. The error says which cannot be.
func (s Settings) player(p detect.Player) (detect.Player, error) {
	for _, name := range []string{"span", "level", "tempo", "middle-pedal"} {
		value := *s.field(name)
		if value == "" {
			continue
		}
		// "flag" is what is asked for this once, on the page as in the command.
		if err := p.Set(name, value, "flag"); err != nil {
			return p, err
		}
	}
	return p, nil
}

// planned reports whether anything was said about when to practise: only then is
// there a plan on the sheet, as with the command.
func (s Settings) planned() bool { return s.Minutes != "" || s.Days != "" }

// over are the settings with those for all pieces where they say nothing.
func (s Settings) over(general Settings) Settings {
	for _, set := range settingNames {
		if field := s.field(set.Name); *field == "" {
			*field = *general.field(set.Name)
		}
	}
	return s
}

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

// wrong tells of each setting why it cannot be, by name; none where all can.
func (s Settings) wrong(who detect.Player, today time.Time) map[string]string {
	wrong := map[string]string{}
	for _, set := range settingNames {
		var only Settings
		*only.field(set.Name) = *s.field(set.Name)
		_, err := only.player(who)
		if err == nil {
			_, err = only.plan(today)
		}
		if err != nil {
			wrong[set.Name] = err.Error()
		}
	}
	return wrong
}

// merge puts what a form changed onto what is saved. The form began with what it
// had seen. Where both changed the same setting differently nothing is decided:
// the names of these come back.
func merge(seen, saved, sent Settings) (merged Settings, conflicts []settingName) {
	merged = saved
	for _, set := range settingNames {
		was, now, wish := *seen.field(set.Name), *saved.field(set.Name), *sent.field(set.Name)
		switch {
		case wish == was || wish == now:
		case now != was:
			conflicts = append(conflicts, set)
		default:
			*merged.field(set.Name) = wish
		}
	}
	return merged, conflicts
}

// mergeSeen merges as the form says that it had seen; where it says nothing,
// what is saved.
func mergeSeen(seen string, saved, sent Settings) (Settings, []settingName, error) {
	before := saved
	if seen != "" {
		if err := json.Unmarshal([]byte(seen), &before); err != nil {
			return saved, nil, status(http.StatusBadRequest, errors.New("the form does not say what it had seen; open the page again"))
		}
	}
	merged, conflicts := merge(before, saved, sent)
	return merged, conflicts, nil
}

// String is what a form carries to tell what it had seen.
func (s Settings) String() string {
	data, _ := json.Marshal(s) // strings can always be written
	return string(data)
}

// settingsView is what the page of a piece's settings shows.
type settingsView struct {
	Piece    *Piece
	Summary  string // what the settings make of the piece
	Fields   []settingView
	Levels   []detect.Level
	Seen     string   // what the form has seen, to be sent along
	Said     string   // what was done
	Error    string   // what was not
	Warnings []string // what was assumed in the reading
}

// settingView is one thing that can be changed.
type settingView struct {
	Name   string // as the form calls it: "span"
	Words  string // "Hand span"
	Given  string // for this piece, as typed; "" where nothing was said
	InUse  string // with its unit
	Origin string // where that came from, in words
	Means  string
	Wrong  string // why what was typed cannot be
}

// How settings were saved: as they were sent, or with what another window had
// changed.
const savedAlone, savedMerged = "yes", "both"

func (s *Server) showSettings(w http.ResponseWriter, r *http.Request) error {
	return s.settingsSaved(w, r, r.URL.Query().Get("saved"))
}

// settingsSaved shows the settings, and how they were just saved.
func (s *Server) settingsSaved(w http.ResponseWriter, r *http.Request, how string) error {
	st, err := s.study(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	v := st.settingsView()
	switch how {
	case savedAlone:
		v.Said = "Reckoned again: " + v.Summary
	case savedMerged:
		v.Said = "Saved, with what was changed in another window too. Reckoned again: " + v.Summary
	}
	return s.settingsPage(w, r, http.StatusOK, st, v)
}

func (s *Server) settingsPage(w http.ResponseWriter, r *http.Request, code int, st *study, v settingsView) error {
	s.show(w, r, code, "settings", frame{Title: "Settings · " + st.piece.Called(), Piece: st.piece, Here: "settings"}, v)
	return nil
}

// changeSettings changes who plays and when. What makes no sense changes
// nothing; it stays in its field, with the reason. What was changed elsewhere
// meanwhile stays too, unless it is the very setting: then the player decides.
func (s *Server) changeSettings(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	if err := r.ParseForm(); err != nil {
		return err
	}
	sent := settingsFrom(r.PostForm)
	who, err := s.player()
	if err != nil {
		return err
	}
	wrong := sent.wrong(who, s.now())
	var conflicts []settingName
	var saved Settings
	if len(wrong) == 0 {
		saved, conflicts, err = s.shelf.change(id, r.PostForm.Get("seen"), sent)
		if err != nil {
			return err
		}
		if len(conflicts) == 0 {
			how := savedAlone
			if saved != sent {
				how = savedMerged
			}
			return s.onward(w, r, "/pieces/"+id+"/settings?saved="+how, func(w http.ResponseWriter, r *http.Request) error {
				return s.settingsSaved(w, r, how)
			})
		}
	}
	st, err := s.study(r.Context(), id)
	if err != nil {
		return err
	}
	v := st.settingsView()
	var code int
	v.Error, code = refuse(v.Fields, sent, saved, wrong, conflicts)
	if wantsJSON(r) {
		for _, set := range settingNames {
			if why := wrong[set.Name]; why != "" {
				v.Error = why
			}
		}
		return status(code, fmt.Errorf("%s", v.Error))
	}
	if len(wrong) > 0 && r.PostForm.Get("seen") != "" {
		v.Seen = r.PostForm.Get("seen") // what this form began with, still
	}
	return s.settingsPage(w, r, code, st, v)
}

// refuse puts what was sent back into its fields, with why it was not saved.
func refuse(fields []settingView, sent, saved Settings, wrong map[string]string, conflicts []settingName) (why string, code int) {
	for i := range fields {
		f := &fields[i]
		f.Given, f.Wrong = *sent.field(f.Name), wrong[f.Name]
		if slices.ContainsFunc(conflicts, func(set settingName) bool { return set.Name == f.Name }) {
			f.Wrong = fmt.Sprintf("set to %s in another window", orNothing(*saved.field(f.Name)))
		}
	}
	if len(conflicts) > 0 {
		return "These settings were changed in another window meanwhile. That is kept, and so is what you wrote here: send it again if you want it instead.", http.StatusConflict
	}
	return "Nothing was changed: see below.", http.StatusUnprocessableEntity
}

func orNothing(text string) string {
	if text == "" {
		return "nothing"
	}
	return "“" + text + "”"
}

// settingsView is the form as it is saved.
func (st *study) settingsView() settingsView {
	v := settingsView{Piece: st.piece, Levels: detect.Levels, Seen: st.piece.Settings.String(), Summary: st.summary()}
	inUse := inUse(st.report.Player, st.general, st.piece.Settings, st.today)
	for _, set := range settingNames {
		f := inUse[set.Name]
		f.Name, f.Words, f.Given = set.Name, set.Words, *st.piece.Settings.field(set.Name)
		v.Fields = append(v.Fields, f)
	}
	for _, warning := range st.score.Warnings {
		v.Warnings = append(v.Warnings, warning.String())
	}
	return v
}

// inUse is every setting of a player with what it is now and where that came
// from, by name.
func inUse(who detect.Player, general, own Settings, today time.Time) map[string]settingView {
	all := map[string]settingView{}
	for _, set := range who.Settings() {
		name, hand := set.Name, ""
		if name == "span-right" || name == "span-left" {
			name, hand = "span", strings.TrimPrefix(name, "span-")+" "
		}
		v, begun := all[name]
		if begun {
			v.InUse += ", "
		}
		v.InUse += hand + strings.TrimSpace(set.Value+" "+set.Unit)
		v.Origin, v.Means = originWords(set.From), set.Means
		all[name] = v
	}
	when, _ := own.over(general).plan(today) // what is saved has been checked
	for name, n := range map[string]int{"minutes": when.Minutes, "days": when.Days} {
		origin := originWords("default")
		switch {
		case *own.field(name) != "":
			origin = originWords("flag")
		case *general.field(name) != "":
			origin = originWords("profile")
		}
		all[name] = settingView{InUse: strconv.Itoa(n), Origin: origin}
	}
	return all
}

// originWords says where a setting came from.
func originWords(from string) string {
	switch from {
	case "flag":
		return "for this piece"
	case "profile":
		return "from your hands, for all pieces"
	case "default":
		return "assumed"
	}
	return from
}
