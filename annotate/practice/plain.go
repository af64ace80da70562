package practice

import (
	"strings"

	"hardbars/detect"
)

// plain is how a teacher speaks of a kind.
type plain struct {
	state    string // of a hand: "in thirds"
	does     string // "leaps"
	together string // of both hands: "two rhythms at once"; "" for the kind's name
	skill    string // what it trains, where that is not said by together: "leaps"
}

// plainWords are those of the kinds by name. A kind that is not here is called
// by its own name.
var plainWords = map[detect.Kind]plain{
	"cross-rhythm":              {"against the other's rhythm", "plays another rhythm", "two rhythms at once", ""},
	"leap":                      {"leaping", "leaps", "both hands leap", "leaps"},
	"parallel-thirds":           {"in thirds", "plays thirds", "thirds", ""},
	"parallel-sixths":           {"in sixths", "plays sixths", "sixths", ""},
	"octave-run":                {"in octaves", "plays octaves", "octaves", ""},
	"tie-across-pedal":          {"holding over a pedal change", "holds over a pedal change", "a note held over pedal changes", "long notes in the pedal"},
	"spread-octave":             {"with octaves to roll", "rolls an octave", "octaves to roll", "rolled octaves"},
	"spread-chord":              {"with chords to roll", "rolls a chord", "chords to roll", "rolled chords"},
	"wide-stretch":              {"at full stretch", "stretches", "wide stretches", "wide chords"},
	"fast-run":                  {"in quick notes", "runs", "quick notes in both hands", "quick runs"},
	"repeated-notes":            {"repeating notes", "repeats notes", "repeated notes", ""},
	"soft-control":              {"softly under control", "must stay soft", "both hands very soft", "soft playing"},
	"melody-over-accompaniment": {"with tune and accompaniment", "plays tune and accompaniment", "tune over accompaniment", ""},
	"held-and-moving":           {"holding while it moves", "holds while it moves", "held and moving notes", ""},
	"hand-crossing":             {"crossing the other", "crosses the other", "the hands cross", "crossing hands"},
	"long-pedal":                {"in one long pedal", "goes on in the pedal", "one long pedal", "long pedals"},
	"pedal-held":                {"held by the pedal alone", "lets the pedal hold", "notes that the pedal holds", "the pedal"},
	"pattern-break":             {"leaving its pattern", "leaves its pattern", "a pattern that breaks", "changing patterns"},
	"regrouping":                {"grouped against the beat", "groups against the beat", "groups against the beat", ""},
	"ornament":                  {"with ornaments", "plays ornaments", "ornaments", ""},
}

func plainOf(k detect.Kind) plain {
	if words, ok := plainWords[k]; ok {
		return words
	}
	name := strings.ReplaceAll(string(k), "-", " ")
	return plain{state: "with " + name, does: "has " + name, together: name}
}

// both speaks of both hands, with the case in hand: "two rhythms at once, 4 over 3".
func (w plain) both(label string) string {
	if label == "" || strings.Contains(label, w.together) {
		return w.together
	}
	return w.together + ": " + label
}

// Skill names what a kind trains: "leaps", "thirds".
func Skill(k detect.Kind) string {
	if words, ok := plainWords[k]; ok && words.skill != "" {
		return words.skill
	}
	return plainOf(k).together
}
