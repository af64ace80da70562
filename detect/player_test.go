package detect

import (
	"strings"
	"testing"

	"hardbars/score"
)

func TestParseSpan(t *testing.T) {
	for text, want := range map[string]float64{"201": 201, "201mm": 201, " 188.5 mm ": 188.5, "Octave": 170, "ninth": 193, "tenth": 216} {
		if got, err := ParseSpan(text); err != nil || got != want {
			t.Errorf("ParseSpan(%q) = %g, %v; want %g", text, got, err, want)
		}
	}
	for _, text := range []string{"", "wide", "20", "2010", "-201", "NaN", "8in"} {
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
		"quarter.=40":       {QPM: 60},
		"80%":               {Share: 0.8},
		"50 %":              {Share: 0.5},
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

// The table must get easier level by level, and stay under what is humanly
// possible: 10.10 bits a second (Fitts 1954, in MacKenzie 1991).
func TestCapacities(t *testing.T) {
	for _, c := range Capacities {
		if c.Source == "" || c.Unit == "" {
			t.Errorf("%s has no source or unit", c.Name)
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
