package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/score"
)

func fingeringCommand() *cobra.Command {
	var who playerFlags
	var part, bars, side string
	var asCSV, asJSON bool
	cmd := &cobra.Command{
		Use:   "fingering FILE",
		Short: "Suggest a finger for every note",
		Long: `Suggests which finger takes which note, for your hands at your tempo. Fingers
that the score prints are kept. Each line is what one hand plays in a bar, from
note to note; the fingers of a chord stand from the lowest note up, such as
1-3-5. Below it is said why the hand turns or moves where it does. Fingers of
your teacher go first; where one of these hurts, it is wrong for your hand.`,
		Example: `  hardbars fingering waltz.musicxml --bars 5-12 --hand right
  hardbars fingering waltz.musicxml --csv > fingers.csv`,
		Args: files(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if side != "" && side != "right" && side != "left" {
				return wrongUse(cmd, fmt.Errorf("--hand: %q is not right or left", side))
			}
			player, err := who.player(cmd)
			if err != nil {
				return err
			}
			s, err := openScoreFor(cmd, args[0], part, player)
			if err != nil {
				return err
			}
			t, err := newFingerTable(detect.Analyze(s, player, nil), bars, side)
			if err != nil {
				return err
			}
			switch out := cmd.OutOrStdout(); {
			case asCSV:
				err = t.writeCSV(out)
			case asJSON:
				err = t.writeJSON(out)
			default:
				t.print(out)
			}
			printWarnings(cmd.ErrOrStderr(), args[0], s)
			return err
		},
	}
	who.add(cmd)
	addPartFlag(cmd, &part)
	cmd.Flags().StringVar(&bars, "bars", "", "only these bars as printed, such as 12 or 5-12")
	cmd.Flags().StringVar(&side, "hand", "", "only right or left")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "print CSV, one row a struck note")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, one entry a struck note")
	cmd.MarkFlagsMutuallyExclusive("csv", "json")
	cmd.RegisterFlagCompletionFunc("hand", cobra.FixedCompletions([]string{"right", "left"}, cobra.ShellCompDirectiveNoFileComp))
	return cmd
}

// fingerTable is the fingering of some bars.
type fingerTable struct {
	score       *score.Score
	fingering   *hand.Fingering
	sides       []score.Hand
	first, last int // bars, indices into Score.Bars
}

func newFingerTable(r *detect.Report, bars, side string) (t fingerTable, err error) {
	t = fingerTable{score: r.Score, fingering: r.Fingering(), last: len(r.Score.Bars) - 1}
	for _, h := range []score.Hand{score.Right, score.Left} {
		if side == "" || side == h.String() {
			t.sides = append(t.sides, h)
		}
	}
	if bars != "" {
		t.first, t.last, err = r.BarRange(bars)
	}
	return t, err
}

// fingerRow is a struck note as the table shows it.
type fingerRow struct {
	Hand    score.Hand `json:"hand"`
	Bar     string     `json:"bar"`   // as printed
	Index   int        `json:"index"` // from 1 in file order
	Offset  score.Rat  `json:"offset"`
	Pitch   string     `json:"pitch"`
	MIDI    int        `json:"midi"`
	Finger  int        `json:"finger"`       // 0: the hand has none left
	Or      int        `json:"or,omitempty"` // nearly as good
	Printed bool       `json:"printed"`      // by the score
	Why     string     `json:"why,omitempty"`
}

// rows are the struck notes in the order of the score.
func (t *fingerTable) rows() []fingerRow {
	rows := []fingerRow{}
	why := map[int]string{} // by note
	for _, side := range t.sides {
		for i, p := range t.fingering.Places[side] {
			why[p.Notes[0]] = t.fingering.Words(t.score, side, i)
		}
	}
	for i := range t.score.Notes {
		n, f := &t.score.Notes[i], t.fingering.Notes[i]
		if n.Bar < t.first || n.Bar > t.last || n.Hand != t.sides[0] && n.Hand != t.sides[len(t.sides)-1] {
			continue
		}
		bar := t.score.Bars[n.Bar]
		rows = append(rows, fingerRow{
			Hand: n.Hand, Bar: bar.Number, Index: bar.Index, Offset: n.Onset.Sub(bar.Start), Pitch: n.Pitch.String(),
			MIDI: n.Pitch.MIDI(), Finger: f.Finger, Or: f.Or, Printed: f.Printed, Why: why[i],
		})
	}
	return rows
}

func (t *fingerTable) writeCSV(w io.Writer) error {
	table := csv.NewWriter(w)
	table.Write([]string{"hand", "index", "offset", "midi", "finger"})
	for _, r := range t.rows() {
		table.Write([]string{r.Hand.String(), strconv.Itoa(r.Index), r.Offset.String(), strconv.Itoa(r.MIDI), strconv.Itoa(r.Finger)})
	}
	table.Flush()
	return table.Error()
}

func (t *fingerTable) writeJSON(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(t.rows())
}

// print writes a line for what a hand plays in a bar, with its reasons below.
func (t *fingerTable) print(w io.Writer) {
	const indent = "            "
	next := [2]int{}
	for bar := t.first; bar <= t.last; bar++ {
		for _, side := range t.sides {
			places := t.fingering.Places[side]
			for next[side] < len(places) && t.score.Notes[places[next[side]].Notes[0]].Bar < bar {
				next[side]++
			}
			var fingers, reasons []string
			for ; next[side] < len(places) && t.score.Notes[places[next[side]].Notes[0]].Bar == bar; next[side]++ {
				p := places[next[side]]
				fingers = append(fingers, t.fingers(p))
				if why := t.fingering.Words(t.score, side, next[side]); why != "" {
					reasons = append(reasons, fmt.Sprintf("%s: %s", t.beat(p.At), why))
				}
			}
			if len(fingers) == 0 {
				continue
			}
			text := strings.TrimLeft(wrap(strings.Join(fingers, " "), width, indent), " ")
			fmt.Fprintf(w, "%-4s  %-5s %s\n", t.score.Bars[bar].Number, side, text)
			if len(reasons) > 0 {
				fmt.Fprintln(w, wrap(strings.Join(reasons, "; "), width, indent))
			}
		}
	}
}

// fingers are those of what is struck at once, from the lowest note up.
func (t *fingerTable) fingers(p hand.Place) string {
	var all []string
	for _, n := range p.Notes {
		f := t.fingering.Notes[n]
		text := strconv.Itoa(f.Finger)
		if f.Finger == 0 {
			text = "?"
		}
		if f.Or != 0 && len(p.Notes) == 1 {
			text += fmt.Sprintf("(or %d)", f.Or)
		}
		if t.score.Notes[n].Hand == score.Left {
			all = append([]string{text}, all...)
		} else {
			all = append(all, text)
		}
	}
	return strings.Join(all, "-")
}

// beat says where in its bar something is, in beats.
func (t *fingerTable) beat(at score.Rat) string {
	bar := t.score.Bars[t.score.BarAt(at)]
	beats := at.Sub(bar.Start).Div(bar.Time.Beat()).Add(score.Int(1))
	whole := beats.Num() / beats.Den()
	part := beats.Sub(score.Int(whole))
	if part == (score.Rat{}) {
		return fmt.Sprintf("beat %d", whole)
	}
	return fmt.Sprintf("beat %d and %s", whole, part)
}
