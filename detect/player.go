package detect

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"hardbars/detect/hand"
	"hardbars/score"
)

// Level is how far a player has come.
type Level string

const (
	Elementary   Level = "elementary"
	Returning    Level = "returning"
	Intermediate Level = "intermediate"
	Advanced     Level = "advanced"
)

// Levels is every level, the first the least.
var Levels = []Level{Elementary, Returning, Intermediate, Advanced}

// Player is who plays.
type Player struct {
	SpanMM [2]float64 // thumb tip to fifth-finger tip at full stretch, by score.Hand
	Level  Level
	Tempo  TempoChoice

	MiddlePedal bool // the piano's middle pedal works and may be relied on

	Own  map[string]float64 // the player's own figures, by Capacity.Name; they go before the level's
	From map[string]string  // where each setting came from, by the name that Set knows: "flag", "profile", "default"
}

// DefaultPlayer is who plays when nothing is said: a returning adult with the
// mean span of women, 201 mm (Boyle, Boyle & Booker 2015), at the written
// tempo, on a piano whose middle pedal is not relied on: many have none.
func DefaultPlayer() Player {
	return Player{
		SpanMM: [2]float64{201, 201},
		Level:  Returning,
		From:   map[string]string{"span": "default", "level": "default", "tempo": "default", "middle-pedal": "default"},
	}
}

// Hand is one of the player's hands.
func (p Player) Hand(side score.Hand) hand.Hand { return hand.Hand{Side: side, SpanMM: p.SpanMM[side]} }

// Hands are both hands of the player, by side; what was not said is the default's.
func (p Player) Hands() [2]hand.Hand {
	p = p.orDefault()
	return [2]hand.Hand{p.Hand(score.Right), p.Hand(score.Left)}
}

// orDefault fills what was left out.
func (p Player) orDefault() Player {
	d := DefaultPlayer()
	if p.Level == "" {
		p.Level = d.Level
	}
	for h := range p.SpanMM {
		if p.SpanMM[h] == 0 {
			p.SpanMM[h] = d.SpanMM[h]
		}
	}
	if p.From == nil {
		p.From = d.From
	}
	return p
}

// playerSettings are the names that Set knows beside those of the capacities.
var playerSettings = []string{"span", "span-right", "span-left", "level", "tempo", "middle-pedal"}

// Set changes one thing about the player by its name, one of playerSettings or
// that of a capacity. from says where the value came from: "flag" or "profile".
// Where the value makes no sense the player stays as it was.
func (p *Player) Set(name, value, from string) error {
	changed := *p
	if err := changed.set(name, value, from); err != nil {
		return err
	}
	*p = changed
	return nil
}

func (p *Player) set(name, value, from string) (err error) {
	switch name {
	case "span":
		return p.setSpan(value, from)
	case "span-right":
		p.SpanMM[score.Right], err = ParseSpan(value)
	case "span-left":
		p.SpanMM[score.Left], err = ParseSpan(value)
	case "level":
		p.Level, err = ParseLevel(value)
	case "tempo":
		p.Tempo, err = ParseTempo(value)
	case "middle-pedal":
		p.MiddlePedal, err = parseYesNo(value)
	default:
		err = p.setOwn(name, value)
	}
	p.From = with(p.From, name, from)
	return err
}

// setSpan sets the span of both hands, "201", or of each, "left=190,right=201".
func (p *Player) setSpan(value, from string) error {
	if strings.Contains(value, "=") {
		for part := range strings.SplitSeq(value, ",") {
			hand, span, _ := strings.Cut(part, "=")
			hand = strings.ToLower(strings.TrimSpace(hand))
			if hand != "right" && hand != "left" {
				return fmt.Errorf("hand span %q: give one for both hands, or such as left=190,right=201", value)
			}
			if err := p.set("span-"+hand, span, from); err != nil {
				return err
			}
		}
		return nil
	}
	mm, err := ParseSpan(value)
	p.SpanMM = [2]float64{mm, mm}
	p.From = with(p.From, "span", from)
	delete(p.From, "span-right")
	delete(p.From, "span-left")
	return err
}

// SpanFrom says where the span of a hand came from.
func (p Player) SpanFrom(h score.Hand) string {
	if from := p.From["span-"+h.String()]; from != "" {
		return from
	}
	return p.From["span"]
}

// setOwn sets the player's own figure for a capacity.
func (p *Player) setOwn(name, value string) error {
	if capacityNamed(name) == nil {
		names := slices.Clone(playerSettings)
		for _, c := range Capacities {
			names = append(names, c.Name)
		}
		return fmt.Errorf("there is no setting %q; there are %s", name, strings.Join(names, ", "))
	}
	figure, err := number(value, leastOwn, mostOwn)
	if err != nil {
		return fmt.Errorf("%s %q: give a number from %g to %g", name, value, leastOwn, mostOwn)
	}
	p.Own = with(p.Own, name, figure)
	return nil
}

// with returns a copy of m with one value changed: players are copied freely.
func with[V any](m map[string]V, name string, value V) map[string]V {
	changed := map[string]V{}
	maps.Copy(changed, m)
	changed[name] = value
	return changed
}

// TempoChoice is the tempo a player asks for. The zero value plays as written.
type TempoChoice struct {
	QPM   float64 // quarter notes a minute at the opening; later marks keep their proportion to it; 0: as written
	Share float64 // of the written tempo everywhere, 0.8 for 80 %; 0: as written
}

// String prints "as written", "quarter = 66" or "80 %".
func (t TempoChoice) String() string {
	switch {
	case t.QPM > 0:
		return fmt.Sprintf("quarter = %g", t.QPM)
	case t.Share > 0:
		return fmt.Sprintf("%g %%", t.Share*100)
	}
	return "as written"
}

// What a hand can span, in mm, and how fast anyone plays: past these a figure
// is a slip of the pen.
const (
	leastSpan, mostSpan   = 100, 320
	leastQPM, mostQPM     = 5, 600
	leastShare, mostShare = 5, 400 // per cent
	leastOwn, mostOwn     = 0.001, 1000.0
)

// ParseSpan reads a hand span: millimetres ("201", "201 mm"), the white keys
// that the stretched hand lies across ("8.5 keys"), or the widest interval it
// reaches ("octave", "ninth", "tenth"). The result is in mm.
func ParseSpan(text string) (float64, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	for i, name := range []string{"octave", "ninth", "tenth"} {
		if text == name {
			return hand.OctaveSpan + float64(i)*hand.SpanPerKey, nil
		}
	}
	figure, unit := strings.TrimSuffix(text, "mm"), 1.0
	if keys, ok := strings.CutSuffix(text, "keys"); ok {
		figure, unit = keys, hand.WhiteWidth
	}
	mm, err := strconv.ParseFloat(strings.TrimSpace(figure), 64)
	if err != nil {
		return 0, fmt.Errorf("hand span %q: give millimetres such as 201, white keys such as 8.5 keys, or octave, ninth or tenth", text)
	}
	mm *= unit
	if !(mm >= leastSpan && mm <= mostSpan) {
		return 0, fmt.Errorf("hand span %q: give millimetres from %d to %d, thumb tip to little-finger tip", text, leastSpan, mostSpan)
	}
	return mm, nil
}

func parseYesNo(text string) (bool, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "yes":
		return true, nil
	case "no":
		return false, nil
	}
	return false, fmt.Errorf("%q: give yes or no", text)
}

// ParseLevel reads the name of a level.
func ParseLevel(text string) (Level, error) {
	level := Level(strings.ToLower(strings.TrimSpace(text)))
	for _, l := range Levels {
		if l == level {
			return l, nil
		}
	}
	return "", fmt.Errorf("level %q: choose elementary, returning, intermediate or advanced", text)
}

// ParseTempo reads the tempo a player wants: quarter notes a minute at the
// opening ("66"), another unit ("eighth=120", "dotted quarter=40", "quarter.=40"),
// a share of the written tempo ("80%"), or "as written".
func ParseTempo(text string) (TempoChoice, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == (TempoChoice{}).String() {
		return TempoChoice{}, nil
	}
	if percent, ok := strings.CutSuffix(text, "%"); ok {
		share, err := number(percent, leastShare, mostShare)
		if err != nil {
			return TempoChoice{}, fmt.Errorf("tempo %q: give a share from %d%% to %d%% of the written tempo", text, leastShare, mostShare)
		}
		return TempoChoice{Share: share / 100}, nil
	}
	unit, figure, named := strings.Cut(text, "=")
	if !named {
		unit, figure = "quarter", text
	}
	beat, ok := parseUnit(unit)
	perMinute, err := number(figure, 0, 100*mostQPM)
	if !ok || err != nil {
		return TempoChoice{}, fmt.Errorf("tempo %q: give quarter notes a minute such as 66, another note such as eighth=120 or dotted quarter=40, or a share such as 80%%", text)
	}
	qpm := perMinute * beat.Float()
	if qpm < leastQPM || qpm > mostQPM {
		return TempoChoice{}, fmt.Errorf("tempo %q: give %d to %d quarter notes a minute", text, leastQPM, mostQPM)
	}
	return TempoChoice{QPM: qpm}, nil
}

// noteSigns are the note values that a metronome mark in a text font has signs for.
var noteSigns = strings.NewReplacer("-", " ", "♩", "quarter", "♪", "eighth")

// parseUnit reads "half", "dotted half", "half." or "♩.".
func parseUnit(text string) (score.Rat, bool) {
	text = strings.Join(strings.Fields(noteSigns.Replace(text)), " ")
	if name, dotted := strings.CutSuffix(text, "."); dotted {
		text = "dotted " + strings.TrimSpace(name)
	}
	return score.ValueLength(text)
}

// number reads a figure between two bounds.
func number(text string, least, most float64) (float64, error) {
	n, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err == nil && !(n >= least && n <= most) {
		err = strconv.ErrRange
	}
	return n, err
}
