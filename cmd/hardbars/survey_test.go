package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score/scoretest/library"
)

// TestGrades puts real scores in the order in which teachers give them, each
// group below all of the next. The grades are from memory: on the scale of
// nine that a publisher of urtext editions uses these pieces are near 2, 3 to
// 4, 5 to 6 and 7.
func TestGrades(t *testing.T) {
	groups := [][]string{
		{"Bach_Minuet"},
		{"Prelude_I", "Gymnop", "Fur_Elise"},
		{"Sonata_No._16", "Nocturne_No._20", "Sonate_No._8", "The_Entertainer", "Chopin_-_Nocturne_Op_9", "Piano_Sonata_No._11", "Waltz", "Maple", "Chopin_-_Nocturne_Op._9"},
		{"Sonate_No._14_Moonlight_3rd"},
	}
	rows, failures := survey(&cobra.Command{}, library.Shared(t), detect.DefaultPlayer())
	if len(failures) > 0 {
		t.Fatal(failures)
	}
	group := func(row surveyRow) int {
		for i, names := range groups {
			for _, name := range names {
				if strings.HasPrefix(filepath.Base(row.File), name) {
					return i
				}
			}
		}
		return -1
	}
	highest := -1
	for _, row := range rows {
		switch g := group(row); {
		case g < 0: // not graded
		case g < highest:
			t.Errorf("%s, of group %d, comes after one of group %d", filepath.Base(row.File), g+1, highest+1)
		default:
			highest = g
		}
	}
}

// TestSurveyFault keeps a fault in one score from the others.
func TestSurveyFault(t *testing.T) {
	kinds.All = append(kinds.All, &detect.Detector{Kind: "broken", Run: func(p *detect.Pass) {
		if p.Score.Title == "Stepping Stones" {
			panic("out of tune")
		}
	}})
	defer func() { kinds.All = kinds.All[:len(kinds.All)-1] }()
	rows, failures := survey(&cobra.Command{}, []string{"../../testdata/leap.musicxml", "../../testdata/lantern-barcarolle.musicxml"}, detect.DefaultPlayer())
	if len(rows) != 1 || len(failures) != 1 || !strings.Contains(failures[0].Error(), "leap.musicxml: a fault in hardbars: broken: out of tune") {
		t.Errorf("%d rows and failures %v, want one of each", len(rows), failures)
	}
}
