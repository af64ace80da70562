package main

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"hardbars/detect"
	"hardbars/score"
)

func notesCommand() *cobra.Command {
	var part string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "notes FILE",
		Short: "Print every note as it was read, one a line",
		Long: `Prints the score as a plain table of notes, so that anyone can check how it
was read. Tied notes are one note. Positions and lengths are exact, in quarter
notes: onset counts from the start of the piece, offset from the barline. What
was assumed, repaired or skipped is told beside the table, on standard error.
The last column says why a note is not played by the hand of its staff, for a
hand span of 201 mm.`,
		Example: "  hardbars notes waltz.musicxml > waltz.csv",
		Args:    files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := openScoreFor(cmd, args[0], part, detect.DefaultPlayer())
			if err != nil {
				return err
			}
			write := writeNotesCSV
			if asJSON {
				write = writeNotesJSON
			}
			if err := write(cmd.OutOrStdout(), s); err != nil {
				return err
			}
			printWarnings(cmd.ErrOrStderr(), args[0], s)
			return nil
		},
	}
	addPartFlag(cmd, &part)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of CSV")
	return cmd
}

// noteRow is a note as the table shows it.
type noteRow struct {
	Hand   score.Hand `json:"hand"`
	Bar    string     `json:"bar"`   // as printed
	Index  int        `json:"index"` // from 1 in file order
	Onset  score.Rat  `json:"onset"`
	Length score.Rat  `json:"length"`
	Offset score.Rat  `json:"offset"`
	Pitch  string     `json:"pitch"`
	MIDI   int        `json:"midi"`
	Voice  string     `json:"voice"`
	Staff  int        `json:"staff"`
	Tied   bool       `json:"tied"`
	Grace  bool       `json:"grace"`
	Reason string     `json:"reason"` // why it does not follow its staff; "" where it does
}

var noteColumns = []string{"hand", "bar", "index", "onset", "length", "offset", "pitch", "midi", "voice", "staff", "tied", "grace", "reason"}

func (r noteRow) fields() []string {
	return []string{
		r.Hand.String(), r.Bar, strconv.Itoa(r.Index), r.Onset.String(), r.Length.String(), r.Offset.String(),
		r.Pitch, strconv.Itoa(r.MIDI), r.Voice, strconv.Itoa(r.Staff), strconv.FormatBool(r.Tied), strconv.FormatBool(r.Grace), r.Reason,
	}
}

func noteRows(s *score.Score) []noteRow {
	rows := make([]noteRow, len(s.Notes))
	for i := range s.Notes {
		n := &s.Notes[i]
		bar := s.Bars[n.Bar]
		rows[i] = noteRow{
			Hand: n.Hand, Bar: bar.Number, Index: bar.Index,
			Onset: n.Onset, Length: n.Length, Offset: n.Onset.Sub(bar.Start),
			Pitch: n.Pitch.String(), MIDI: n.Pitch.MIDI(),
			Voice: n.Voice, Staff: n.Staff, Tied: n.Tied(), Grace: n.Grace > 0, Reason: n.Reason,
		}
	}
	return rows
}

func writeNotesCSV(w io.Writer, s *score.Score) error {
	table := csv.NewWriter(w)
	table.Write(noteColumns)
	for _, row := range noteRows(s) {
		table.Write(row.fields())
	}
	table.Flush()
	return table.Error()
}

func writeNotesJSON(w io.Writer, s *score.Score) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(noteRows(s))
}
