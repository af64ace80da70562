package detect

import (
	"strings"
	"testing"

	"hardbars/score"
)

func TestParseSpan(t *testing.T) {
	for text, want := range map[string]float64{
		"201": 201, "201mm": 201, " 188.5 mm ": 188.5, "Octave": 170, "ninth": 193, "tenth": 216,
		"8 keys": 188, "8.5keys": 199.75,
	} {
		if got, err := ParseSpan(text); err != nil || got != want {
			t.Errorf("ParseSpan(%q) = %g, %v; want %g", text, got, err, want)
		}
	}
	for _, text := range []string{"", "wide", "20", "2010", "-201", "NaN", "8in", "3 keys", "many keys"} {
		if got, err := ParseSpan(text); err == nil || !strings.Contains(err.Error(), "millimetres") {
			t.Errorf("ParseSpan(%q) = %g, %v; want an error that says what to give", text, got, err)
		}
	}
}

func TestParseTempo(t *testing.T) {
	for text, want := range map[string]TempoChoice{
		"66":                {QPM: 66},
		"quarter=66":        {QPM: 66},
		" Quarter = 66.5 ":  {QPM: 66.5},
		"eighth=120":        {QPM: 60},
		"half=60":           {QPM: 120},
		"dotted quarter=40": {QPM: 60},
		"dotted-quarter=40": {QPM: 60},
		"quarter.=40":       {QPM: 60},
		"♩ = 66":            {QPM: 66},
		"♪=120":             {QPM: 60},
		"♩. = 40":           {QPM: 60},
		"80%":               {Share: 0.8},
		"50 %":              {Share: 0.5},
		"As written":        {},
	} {
		if got, err := ParseTempo(text); err != nil || got != want {
			t.Errorf("ParseTempo(%q) = %+v, %v; want %+v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "fast", "0", "-60", "quarter=", "=60", "quarter=0", "crotchet=60", "0%", "1000%", "1e9", "NaN", "quarter=60=70"} {
		if got, err := ParseTempo(text); err == nil {
			t.Errorf("ParseTempo(%q) = %+v, want an error", text, got)
		}
	}
}

func TestParseLevel(t *testing.T) {
	if got, err := ParseLevel(" Returning "); err != nil || got != Returning {
		t.Errorf("got %q, %v", got, err)
	}
	if _, err := ParseLevel("grade 5"); err == nil || !strings.Contains(err.Error(), "intermediate") {
		t.Errorf("want an error that lists the levels, got %v", err)
	}
}

func TestSet(t *testing.T) {
	original := DefaultPlayer()
	p := original
	for _, s := range [][2]string{{"span", "ninth"}, {"span-left", "tenth"}, {"level", "advanced"}, {"tempo", "80%"}, {"leap-rate", "6.25"}} {
		if err := p.Set(s[0], s[1], "profile"); err != nil {
			t.Fatal(err)
		}
	}
	if p.SpanMM[score.Right] != 193 || p.SpanMM[score.Left] != 216 || p.Level != Advanced || p.Tempo.Share != 0.8 || p.Can(LeapRate) != 6.25 {
		t.Errorf("got %+v", p)
	}
	for _, name := range []string{"span", "level", "tempo", "leap-rate"} {
		if p.From[name] != "profile" {
			t.Errorf("%s is said to come from %q", name, p.From[name])
		}
	}
	if original.From["span"] != "default" || original.Own != nil {
		t.Error("setting one player changed another")
	}
	for _, s := range [][2]string{{"height", "180"}, {"span", "?"}, {"level", "?"}, {"tempo", "?"}, {"leap-rate", "0"}, {"leap-rate", "fast"}} {
		before := p
		if err := p.Set(s[0], s[1], "flag"); err == nil {
			t.Errorf("Set(%q, %q) is accepted", s[0], s[1])
		}
		if p.SpanMM != before.SpanMM || p.From["span"] != "profile" {
			t.Errorf("Set(%q, %q) failed and changed the player", s[0], s[1])
		}
	}
}

func TestSetSpan(t *testing.T) {
	for _, c := range []struct {
		values      []string // name, value, name, value …
		right, left float64
		from        string // of right and left
	}{
		{nil, 201, 201, "default default"},
		{[]string{"span", "190"}, 190, 190, "flag flag"},
		{[]string{"span", "left=190"}, 201, 190, "default flag"},
		{[]string{"span", " Left = 8 keys , right=tenth"}, 216, 188, "flag flag"},
		{[]string{"span-left", "190", "span", "ninth"}, 193, 193, "flag flag"},
		{[]string{"span", "ninth", "span-right", "210"}, 210, 193, "flag flag"},
	} {
		p := DefaultPlayer()
		for i := 0; i < len(c.values); i += 2 {
			if err := p.Set(c.values[i], c.values[i+1], "flag"); err != nil {
				t.Fatal(err)
			}
		}
		from := p.SpanFrom(score.Right) + " " + p.SpanFrom(score.Left)
		if p.SpanMM != [2]float64{c.right, c.left} || from != c.from {
			t.Errorf("%v: %v from %s, want %g and %g from %s", c.values, p.SpanMM, from, c.right, c.left, c.from)
		}
	}
	p := DefaultPlayer()
	for _, value := range []string{"left=190,right", "both=190", "left=190,right=wide", "=190", "190,200"} {
		if err := p.Set("span", value, "flag"); err == nil || p.SpanMM != DefaultPlayer().SpanMM || p.SpanFrom(score.Left) != "default" {
			t.Errorf("span %q: %v, and the player has %v", value, err, p.SpanMM)
		}
	}
}

// What Settings shows can be given back to Set and changes nothing.
func TestSettings(t *testing.T) {
	p := DefaultPlayer()
	for _, s := range [][2]string{{"span", "left=190,right=205.5"}, {"level", "advanced"}, {"tempo", "80%"}, {"middle-pedal", "yes"}, {"leap-rate", "6.25"}} {
		if err := p.Set(s[0], s[1], "profile"); err != nil {
			t.Fatal(err)
		}
	}
	again, names := p, map[string]bool{}
	for _, s := range p.Settings() {
		if err := again.Set(s.Name, s.Value, "flag"); err != nil {
			t.Errorf("%s = %s: %v", s.Name, s.Value, err)
		}
		if s.Means == "" || s.From == "" || names[s.Name] {
			t.Errorf("not explained, or there twice: %+v", s)
		}
		names[s.Name] = true
		if s.Name == "leap-rate" && s.From != "profile" || s.Name == "hands-gap" && s.From != "level advanced" {
			t.Errorf("%s is said to come from %s", s.Name, s.From)
		}
	}
	if again.SpanMM != p.SpanMM || again.Level != p.Level || again.Tempo != p.Tempo || again.MiddlePedal != p.MiddlePedal {
		t.Errorf("given back: %+v, was %+v", again, p)
	}
	for _, c := range Capacities {
		if !names[c.Name] || again.Can(c) != p.Can(c) {
			t.Errorf("%s is not shown as it is", c.Name)
		}
	}
}

// Boyle, Boyle & Booker 2015: at full stretch 170 mm take an octave, 193 a
// ninth, 216 a tenth. In comfort it is a whole tone less (Parncutt et al. 1997).
func TestReachInWords(t *testing.T) {
	for span, want := range map[string]string{
		"octave": "reaches an octave of white keys, a seventh in comfort", "192": "reaches an octave of white keys, a seventh in comfort",
		"ninth": "reaches a ninth of white keys, an octave in comfort", "tenth": "reaches a tenth of white keys, a ninth in comfort",
	} {
		p := DefaultPlayer()
		if err := p.Set("span", span, "flag"); err != nil {
			t.Fatal(err)
		}
		if got := p.Settings()[0]; got.Name != "span" || !strings.HasSuffix(got.Means, want) {
			t.Errorf("span %s: %+v, want %q", span, got, want)
		}
	}
}

// The table must get easier level by level, and stay under what is humanly
// possible: 10.10 bits a second (Fitts 1954, in MacKenzie 1991).
func TestCapacities(t *testing.T) {
	for _, c := range Capacities {
		if c.Source == "" || c.Unit == "" || c.Means == "" {
			t.Errorf("%s has no source, unit or plain words", c.Name)
		}
		rising := c.ByLevel[3] > c.ByLevel[0]
		for i := 1; i < 4; i++ {
			if (c.ByLevel[i] > c.ByLevel[i-1]) != rising || c.ByLevel[i] == c.ByLevel[i-1] {
				t.Errorf("%s does not change level by level: %v", c.Name, c.ByLevel)
			}
		}
		for i, level := range Levels {
			if got := (Player{Level: level}).Can(c); got != c.ByLevel[i] {
				t.Errorf("%s at %s: %g, want %g", c.Name, level, got, c.ByLevel[i])
			}
		}
	}
	if most := LeapRate.ByLevel[3]; most >= 10.1 {
		t.Errorf("advanced players leap in comfort at %g bits a second, beyond the limit", most)
	}
}
