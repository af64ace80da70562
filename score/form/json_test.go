package form

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestJSON(t *testing.T) {
	s := compose(t, "aba")
	s.Bars[3].RepeatEnd = 2
	transpose(s, 8, 11, 5)
	data, err := Find(s).JSON()
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Sections []struct {
			ID, Letter, Name string
			From, To         struct {
				Bar   string
				Index int
			}
			Times int
			Like  *struct {
				Section, Relation string
				Semitones         int
				Share             float64
			}
		}
		Played   []string
		Passages []any
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatalf("%v in\n%s", err, data)
	}
	if len(got.Sections) != 3 || got.Sections[0].Like != nil || got.Sections[0].Times != 2 {
		t.Fatalf("%s", data)
	}
	last := got.Sections[2]
	if last.ID != "3" || last.Name != "A′" || last.From.Bar != "9" || last.From.Index != 9 || last.To.Bar != "12" {
		t.Errorf("the last section is %+v", last)
	}
	if l := last.Like; l == nil || l.Section != "1" || l.Relation != "transposed" || l.Semitones != 5 || l.Share != 1 {
		t.Errorf("it is like %+v", last.Like)
	}
	if strings.Join(got.Played, " ") != "1 1 2 3" || len(got.Passages) != 2 {
		t.Errorf("played %v in %d passages", got.Played, len(got.Passages))
	}
	if strings.Contains(strings.ReplaceAll(string(data), `"like": null`, ""), "null") {
		t.Errorf("a list is null:\n%s", data)
	}
}
