package kinds_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/musicxml"
	"hardbars/score/scoretest/library"
)

var update = flag.Bool("update", false, "write what is found to ../../testdata/*.spots.json; read the difference beside the score before keeping it")

// wanted is a hot spot that must be found. What follows from the player's
// capacities, such as the demand, is left out.
type wanted struct {
	Kind   detect.Kind `json:"kind"`
	Hand   string      `json:"hand"`
	Bars   string      `json:"bars"` // as printed
	Places []string    `json:"places"`
}

// telling are the details, by kind, that can be checked against the page by eye.
var telling = map[detect.Kind][]string{
	"cross-rhythm":     {"ratio", "hands_order", "gaps"},
	"leap":             {"from", "to", "semitones"},
	"parallel-thirds":  {"count", "pitches"},
	"tie-across-pedal": {"pitches", "changes", "held_by"},
	"spread-octave":    {"pitches", "sign"},
	"parallel-sixths":  {"count", "pitches"},
	"octave-run":       {"count", "pitches", "broken"},
	"spread-chord":     {"pitches", "sign", "roll"},
	"wide-stretch":     {"pitches", "fingers"},
	"fast-run":         {"figure", "count", "from", "to", "turns"},
	"repeated-notes":   {"pitches", "count", "fingers_can_change"},
	"soft-control":     {"cause", "dynamic", "at_risk"},
	"held-and-moving":  {"held", "until", "attacks", "fingers_left"},
	"long-pedal":       {"pitch_classes", "harmonies", "register", "part_lifts"},
	"pedal-held":       {"pitches", "leaves", "until"},
	"pattern-break":    {"figure", "times", "pitches"},
	"regrouping":       {"group", "per_beat", "groups", "hemiola"},
	"hand-crossing":    {"way", "left", "right", "gives_way"},

	"melody-over-accompaniment": {"voice", "melody", "fingers_left"},
	"ornament":                  {"sign", "written_out", "other_hand"},
}

// TestTestdata looks for what is on the page of each score in testdata: in
// KIND.musicxml the kind must be found, in KIND-none.musicxml it must not. A
// score with another name is looked at for the kinds that its *.spots.json
// names. Each *.spots.json was read against its page, place by place.
func TestTestdata(t *testing.T) {
	for _, path := range library.Own(t, ".musicxml") {
		name := strings.TrimSuffix(filepath.Base(path), ".musicxml")
		t.Run(name, func(t *testing.T) {
			file := "../../testdata/" + name + ".spots.json"
			want, err := os.ReadFile(file)
			_, ofKind := telling[detect.Kind(strings.TrimSuffix(name, "-none"))]
			if errors.Is(err, fs.ErrNotExist) && !ofKind {
				return // a score of other tests
			}
			if err != nil && !*update {
				t.Fatal(err)
			}
			got := findings(t, "../../testdata/"+name+".musicxml", kindsFor(t, name, want))
			if *update {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if !bytes.Equal(got, want) {
				t.Errorf("found\n%s\nwant, from %s,\n%s", got, file, want)
			}
		})
	}
}

// kindsFor are the kinds that a score in testdata is looked at for.
func kindsFor(t *testing.T, name string, want []byte) []detect.Kind {
	t.Helper()
	if kind := detect.Kind(strings.TrimSuffix(name, "-none")); kinds.Find(kind) != nil {
		return []detect.Kind{kind}
	}
	var spots []wanted
	if err := json.Unmarshal(want, &spots); err != nil {
		t.Fatal(err)
	}
	var all []detect.Kind
	for _, sp := range spots {
		all = append(all, sp.Kind)
	}
	return all
}

// findings are the hot spots of some kinds in a score for the default player,
// by time, the quiet ones among them.
func findings(t *testing.T, path string, only []detect.Kind) []byte {
	t.Helper()
	f, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All).Only(func(sp *detect.Spot) bool { return slices.Contains(only, sp.Kind) })
	slices.SortStableFunc(r.Spots, func(a, b detect.Spot) int { return a.From.Cmp(b.From) })
	found := []wanted{}
	for _, sp := range r.Spots {
		w := wanted{Kind: sp.Kind, Hand: sp.Hand.String(), Bars: r.Bars(&sp)}
		for _, o := range sp.Occurrences {
			from, to := r.Position(o.From), r.EndPosition(o.To)
			w.Places = append(w.Places, fmt.Sprintf("%s + %s to %s + %s: %s", from.Bar, from.Offset, to.Bar, to.Offset, details(t, o)))
		}
		found = append(found, w)
	}
	out, err := json.MarshalIndent(found, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	return append(out, '\n')
}

// details goes through the JSON, so that the names there are tested too.
func details(t *testing.T, o detect.Occurrence) string {
	t.Helper()
	data, err := json.Marshal(o.Detail)
	if err != nil {
		t.Fatal(err)
	}
	var all map[string]any
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, name := range telling[o.Kind] {
		value, ok := all[name]
		if !ok {
			t.Errorf("the detail of a %s has no %q: %s", o.Kind, name, data)
		}
		told = append(told, name+" "+tell(value))
	}
	return strings.Join(told, ", ")
}

// tell writes a value of JSON in few signs: a place as "bar + offset".
func tell(value any) string {
	switch v := value.(type) {
	case []any:
		parts := make([]string, len(v))
		for i, part := range v {
			parts[i] = tell(part)
		}
		return "[" + strings.Join(parts, " ") + "]"
	case map[string]any:
		return fmt.Sprintf("%v + %v", v["bar"], v["offset"])
	default:
		return fmt.Sprint(v)
	}
}
