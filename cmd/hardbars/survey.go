package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"hardbars/cmd/hardbars/beside"
	"hardbars/cmd/hardbars/piece"
	"hardbars/detect"
)

func surveyCommand() *cobra.Command {
	var who playerFlags
	var asJSON, asCSV bool
	cmd := &cobra.Command{
		Use:   "survey FOLDER|FILE…",
		Short: "Compare many scores: which piece is next for you?",
		Long: `Reads many scores and lists them by how demanding each is for you, the least
demanding first. Folders are searched for scores, with the folders in them;
hidden files and marked scores that hardbars wrote are passed over.

Overall is one figure for the piece: what its busier bars ask for, divided by
what you do in comfort, so that 1 is a piece at your limit. It does not grow
with mere length. Past is the share of bars with a place past your comfort.
Beside the piece stand its three hardest kinds, each with the bar to look at.

A score that cannot be read is named at the end and stops none of the others;
the exit code is then 1.`,
		Example: `  hardbars survey ~/scores
  hardbars survey ~/scores --level intermediate --span ninth
  hardbars survey waltz.mxl rondo.mxl --json`,
		Args: files(cobra.ArbitraryArgs),
		RunE: func(cmd *cobra.Command, args []string) error {
			if asJSON && asCSV {
				return wrongUse(cmd, errors.New("--json or --csv: choose one"))
			}
			player, err := who.player(cmd)
			if err != nil {
				return err
			}
			rows, failures := survey(cmd, args, player)
			switch out := cmd.OutOrStdout(); {
			case asJSON:
				err = printSurveyJSON(out, rows)
			case asCSV:
				err = printSurveyCSV(out, rows)
			default:
				printSurvey(out, player, rows)
			}
			for _, failure := range failures {
				fmt.Fprintf(cmd.ErrOrStderr(), "hardbars: %v\n", failure)
			}
			if err == nil && len(failures) > 0 {
				err = errReported
			}
			return err
		},
	}
	who.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, for other programs")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "print CSV, for a spreadsheet")
	return cmd
}

// surveyRow is one score among others.
type surveyRow struct {
	File     string       `json:"file"`
	Title    string       `json:"title"`
	Composer string       `json:"composer"`
	Overall  float64      `json:"overall"` // how demanding the piece is; 1 is at the player's limit
	Past     float64      `json:"past_comfort"`
	Bars     int          `json:"bars"`
	Seconds  float64      `json:"seconds"` // of music, repeats played
	Tempo    surveyTempo  `json:"tempo"`
	Kinds    []surveyKind `json:"kinds"` // the hardest, at most three
}

// surveyTempo is the tempo at the start.
type surveyTempo struct {
	QPM  float64 `json:"quarters_per_minute"`
	From string  `json:"from"`
}

// surveyKind is a kind of hard place, where it is hardest.
type surveyKind struct {
	Kind   detect.Kind `json:"kind"`
	Bar    string      `json:"bar"`   // as printed
	Index  int         `json:"index"` // counts bars from 1 in file order
	Demand float64     `json:"demand"`
}

// surveyKinds is how many kinds a row names.
const surveyKinds = 3

// survey reads every score, as many at a time as the machine has processors.
// Rows come by how demanding the scores are, failures in the order of names. A
// fault of this program in one score is kept from the others.
func survey(cmd *cobra.Command, names []string, player detect.Player) (rows []surveyRow, failures []error) {
	paths, failures := findScores(names)
	progress := newProgressBar(cmd.ErrOrStderr(), len(paths), 1)
	results := make([]surveyRow, len(paths))
	errs := make([]error, len(paths))
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(paths)) {
		workers.Go(func() {
			for i := range next {
				progress.start(filepath.Base(paths[i]))
				errs[i] = guarded(paths[i], func() (err error) {
					results[i], err = surveyScore(cmd, paths[i], player)
					return err
				})
				progress.step()
			}
		})
	}
	for i := range paths {
		next <- i
	}
	close(next)
	workers.Wait()
	progress.finish()
	for i, err := range errs {
		if err != nil {
			failures = append(failures, err)
			continue
		}
		rows = append(rows, results[i])
	}
	slices.SortStableFunc(rows, func(a, b surveyRow) int {
		return cmp.Or(cmp.Compare(a.Overall, b.Overall), cmp.Compare(a.File, b.File))
	})
	return rows, failures
}

func surveyScore(cmd *cobra.Command, path string, player detect.Player) (surveyRow, error) {
	s, err := openScoreFor(cmd, path, "", player)
	if err != nil {
		return surveyRow{}, err
	}
	return newSurveyRow(path, piece.Analyze(s, player)), nil
}

func newSurveyRow(path string, r *detect.Report) surveyRow {
	tempo := r.Clock.Main()
	row := surveyRow{
		File: path, Title: r.Score.Title, Composer: r.Score.Composer,
		Overall: thousandth(r.Overall()), Past: thousandth(r.PastComfort()),
		Bars: len(r.Score.Bars), Seconds: thousandth(r.Seconds()),
		Tempo: surveyTempo{thousandth(tempo.QPM), string(tempo.From)}, Kinds: []surveyKind{},
	}
	for _, spot := range r.HardestKinds(surveyKinds) {
		place := r.Position(spot.Occurrences[spot.Hardest].From)
		row.Kinds = append(row.Kinds, surveyKind{spot.Kind, place.Bar, place.Index, thousandth(spot.Demand)})
	}
	return row
}

// findScores lists the scores that are named and those in the folders that
// are, each once, in the order of their names.
func findScores(names []string) (paths []string, failures []error) {
	for _, name := range names {
		info, err := os.Stat(name)
		if name == "-" || err != nil || !info.IsDir() {
			paths = append(paths, name) // where it is not there, reading it says so
			continue
		}
		found, unread := scoresIn(name)
		if len(found)+len(unread) == 0 {
			unread = []error{fmt.Errorf("%s: there is no score in this folder: scores are named .musicxml, .xml or .mxl", name)}
		}
		paths, failures = append(paths, found...), append(failures, unread...)
	}
	slices.Sort(paths)
	return slices.Compact(paths), failures
}

// scoresIn searches a folder and the folders in it.
func scoresIn(folder string) (paths []string, unread []error) {
	root := folder + string(filepath.Separator) // so that a link to a folder is followed
	filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		hidden := path != root && strings.HasPrefix(filepath.Base(path), ".")
		switch {
		case err != nil:
			unread = append(unread, fmt.Errorf("cannot search a folder: %w", err))
		case hidden && entry.IsDir():
			return filepath.SkipDir
		case !hidden && !entry.IsDir() && beside.Extension(path) != "" && !marked(path):
			paths = append(paths, path)
		}
		return nil
	})
	return paths, unread
}

// marked reports whether a score is one that study wrote, by its name.
func marked(path string) bool {
	name := strings.TrimSuffix(filepath.Base(path), beside.Extension(path))
	return strings.HasSuffix(strings.ToLower(name), ".marked")
}
