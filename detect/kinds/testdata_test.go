package kinds_test

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
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

// TestTestdata looks for what is on the page of each score in testdata: in
// KIND.musicxml the kind must be found, in KIND-none.musicxml it must not. A
// score with another name is looked at for the kinds that its *.spots.json
// names. Each *.spots.json was read against its page, place by place.
func TestTestdata(t *testing.T) {
	for _, path := range library.Own(t, ".musicxml") {
		name := strings.TrimSuffix(filepath.Base(path), ".musicxml")
		t.Run(name, func(t *testing.T) {
			file := "../../testdata/" + name + ".spots.json"
			data, err := os.ReadFile(file)
			ofKind := kinds.Find(detect.Kind(strings.TrimSuffix(name, "-none"))) != nil
			if errors.Is(err, fs.ErrNotExist) && !ofKind {
				return // a score of other tests
			}
			if err != nil && !*update {
				t.Fatal(err)
			}
			want := listed(t, data)
			got := findings(t, "../../testdata/"+name+".musicxml", kindsFor(name, want))
			switch {
			case *update:
				if err := os.WriteFile(file, encode(t, got), 0o644); err != nil {
					t.Fatal(err)
				}
			case !reflect.DeepEqual(got, want):
				t.Errorf("found\n%s\nwant, from %s,\n%s", encode(t, got), file, encode(t, want))
			}
		})
	}
}

// listed are the wanted spots whose kinds are in the list.
func listed(t *testing.T, data []byte) []wanted {
	t.Helper()
	spots := []wanted{}
	if data == nil {
		return spots
	}
	if err := json.Unmarshal(data, &spots); err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(spots, func(w wanted) bool { return kinds.Find(w.Kind) == nil })
}

// kindsFor are the kinds that a score in testdata is looked at for.
func kindsFor(name string, want []wanted) []detect.Kind {
	if kind := detect.Kind(strings.TrimSuffix(name, "-none")); kinds.Find(kind) != nil {
		return []detect.Kind{kind}
	}
	var all []detect.Kind
	for _, w := range want {
		all = append(all, w.Kind)
	}
	return all
}

func encode(t *testing.T, spots []wanted) []byte {
	t.Helper()
	out, err := json.MarshalIndent(spots, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	return append(out, '\n')
}

// findings are the hot spots of some kinds in a score for the default player,
// by time, the quiet ones among them.
func findings(t *testing.T, path string, only []detect.Kind) []wanted {
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
	return found
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
	for _, name := range kinds.Find(o.Kind).Telling {
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
