package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"

	"github.com/spf13/cobra"

	"hardbars/annotate/excerpt"
	"hardbars/annotate/mark"
	"hardbars/annotate/pages"
	"hardbars/annotate/plan"
	"hardbars/annotate/remarks"
	"hardbars/annotate/sheet"
	"hardbars/cmd/hardbars/beside"
	"hardbars/cmd/hardbars/piece"
	"hardbars/detect"
	"hardbars/score/musicxml"
)

// study is the main job: a score in; a study sheet and a marked score out.
type study struct {
	player  detect.Player
	part    string
	dir     string
	marks   mark.Options
	sheet   sheet.Options
	plan    *plan.Options // nil for no plan on the sheet
	remarks remarksFlag
	plain   bool // the whole piece without marks
	mxl     bool
	quiet   bool // show quiet places too
	inputs  []string
	written map[string]string // output path → the input it was made from
}

func studyCommand() *cobra.Command {
	var who playerFlags
	var when schedule
	var job study
	var marks, sections, fingers string
	cmd := &cobra.Command{
		Use:   "study FILE…",
		Short: "Make the study sheet and the marked score (begin here)",
		Long: `Reads each score and writes three files beside it, or into the folder named by
--out: NAME.study.pdf, the sheet to print, with the bars to practise first, why
and how fast; NAME.score.pdf, the whole piece to print, with the passages of the
shortlist bracketed and numbered and what makes them hard in colour, or with
--plain nothing but the piece; and NAME.marked.musicxml, the score with those
bars marked.

With --minutes, --days or another setting of hardbars plan, the sheet ends with
the practice plan.

A teacher's remarks beside the score, in NAME.remarks.md, go into both files
(see hardbars remarks).

In the marked score the passages of the shortlist have a number, a few words, a
bracket, and colour on the notes that make them hard; bold words and a solid
bracket are past your comfort, plain and dashed ones within it. --marks all
marks every hot spot, by the numbers of hardbars spots.

The score itself is never changed. A sheet, piece or marked score that you have
changed since it was made is kept under another name.`,
		Example: `  hardbars study waltz.musicxml
  hardbars study waltz.mxl --span octave --tempo 80% --out practice
  hardbars study waltz.mxl --minutes 30 --days 5`,
		Args: files(cobra.ArbitraryArgs),
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			if job.player, err = who.player(cmd); err != nil {
				return err
			}
			if job.marks, err = mark.ParseOptions(marks); err != nil {
				return wrongUse(cmd, fmt.Errorf("--marks: %w", err))
			}
			if job.sheet.Sections, err = sheet.ParseSections(sections); err != nil {
				return wrongUse(cmd, fmt.Errorf("--pages: %w", err))
			}
			if job.sheet.Fingers, err = suggested(fingers); err != nil {
				return wrongUse(cmd, err)
			}
			if err := checkPaper(job.sheet.Paper); err != nil {
				return wrongUse(cmd, err)
			}
			if when.given(cmd) {
				options, err := when.options(cmd)
				if err != nil {
					return wrongUse(cmd, err)
				}
				job.plan = &options
			}
			job.inputs = args
			if job.remarks.path != "" && len(args) > 1 {
				return wrongUse(cmd, errors.New("--remarks: the remarks are on one score; study the scores one at a time"))
			}
			if err := job.checkNames(); err != nil {
				return wrongUse(cmd, err)
			}
			return job.all(cmd)
		},
	}
	who.add(cmd)
	when.add(cmd)
	job.remarks.add(cmd)
	addPartFlag(cmd, &job.part)
	cmd.Flags().StringVar(&job.dir, "out", "", "folder to write to (default: beside the score)")
	cmd.Flags().StringVar(&marks, "marks", "words,brackets,colour", "how the shortlist is marked in the score: any of words, brackets and colour; with all, every hot spot")
	cmd.Flags().StringVar(&job.sheet.Paper, "paper", "a4", "a4 or letter")
	cmd.Flags().StringVar(&fingers, "fingering", "key", "suggested fingers in the music of the sheet, in italics: none, key (where a teacher writes them) or all")
	cmd.Flags().StringVar(&sections, "pages", "all", "what is on the sheet: any of lesson, passages, habits, form, plan and figures; the lesson is one page that stands alone")
	cmd.Flags().BoolVar(&job.sheet.Full, "full", false, "list the passages off the shortlist as well")
	addAllFlag(cmd, &job.quiet)
	cmd.Flags().BoolVar(&job.plain, "plain", false, "print the whole piece (NAME.score.pdf) without marks")
	cmd.Flags().BoolVar(&job.mxl, "mxl", false, "write the marked score compressed (.mxl)")
	return cmd
}

// suggested reads which suggested fingers are wanted.
func suggested(name string) (excerpt.Suggested, error) {
	which, ok := map[string]excerpt.Suggested{"none": excerpt.NoFingers, "key": excerpt.KeyFingers, "all": excerpt.AllFingers}[name]
	if !ok {
		return which, fmt.Errorf("--fingering: %q is not none, key or all", name)
	}
	return which, nil
}

func (job *study) sheetName(input string) string { return beside.Name(input, job.dir, ".study.pdf") }

func (job *study) pagesName(input string) string { return beside.Name(input, job.dir, ".score.pdf") }

func (job *study) markedName(input string) string {
	if job.mxl {
		return beside.Name(input, job.dir, ".marked.mxl")
	}
	return beside.Name(input, job.dir, ".marked.musicxml")
}

// checkNames sees to it that no two scores would write the same file.
func (job *study) checkNames() error {
	job.written = map[string]string{}
	for _, in := range job.inputs {
		out := job.sheetName(in)
		if other, taken := job.written[out]; taken {
			return fmt.Errorf("%s and %s would both write %s: study them one at a time, with different --out folders", other, in, out)
		}
		job.written[out] = in
	}
	return nil
}

// all studies every score; one that fails does not stop the others.
func (job *study) all(cmd *cobra.Command) error {
	if job.dir != "" {
		if err := os.MkdirAll(job.dir, 0o755); err != nil {
			return fmt.Errorf("cannot make the folder for --out: %w", err)
		}
	}
	progress := newProgressBar(cmd.ErrOrStderr(), len(job.inputs), stages)
	var summaries []func(io.Writer)
	var failures []error
	for _, in := range job.inputs {
		progress.start(filepath.Base(in))
		var summary func(io.Writer)
		err := guarded(in, func() (err error) {
			summary, err = job.one(cmd, in, progress)
			return err
		})
		if err != nil {
			failures = append(failures, err)
			continue
		}
		summaries = append(summaries, summary)
	}
	progress.finish()
	for i, print := range summaries {
		if i > 0 {
			fmt.Fprintln(cmd.OutOrStdout())
		}
		print(cmd.OutOrStdout())
	}
	for _, err := range failures {
		fmt.Fprintf(cmd.ErrOrStderr(), "hardbars: %v\n", err)
	}
	if len(failures) > 0 {
		return errReported
	}
	return nil
}

// one studies one score and returns what to tell about it.
func (job *study) one(cmd *cobra.Command, in string, progress *progressBar) (func(io.Writer), error) {
	p, err := openPiece(cmd, in, job.part)
	if err != nil {
		return nil, err
	}
	progress.step()
	said, err := job.remarks.heed(in, p, job.player)
	if err != nil {
		return nil, err
	}
	report := said.Report
	if !job.quiet {
		report = report.WithoutQuiet()
	}
	progress.step()
	wrote, kept, err := job.write(cmd, in, p, report, said)
	if err != nil {
		return nil, err
	}
	progress.step()
	return func(w io.Writer) {
		printSummary(w, in, report, wrote, kept, len(job.inputs) > 1)
		printTaken(w, job.remarks.name(in), said)
	}, nil
}

// write writes all files, or none.
func (job *study) write(cmd *cobra.Command, in string, p *piece.Piece, report *detect.Report, said *remarks.Remarks) (wrote, kept []string, err error) {
	sheetPath, pagesPath, markedPath := job.sheetName(in), job.pagesName(in), job.markedName(in)
	for _, path := range []string{sheetPath, pagesPath, markedPath} {
		if err := beside.NotAnInput(path, append(job.inputs, job.remarks.name(in))); err != nil {
			return nil, nil, err
		}
	}
	options := job.sheet
	options.Remarks = said
	minutes, days := plan.UsualMinutes, plan.UsualDays
	if job.plan != nil {
		minutes, days = job.plan.Minutes, job.plan.Days
	}
	options.Verdict = plan.Judge(report, minutes, days).Words
	if job.plan != nil {
		when := *job.plan
		done, err := openProgress(cmd, in, "", said.Report)
		if err != nil {
			return nil, nil, err
		}
		when.Remarks, when.Known = said.Said, done.Known()
		if options.Plan, err = plan.Make(report, when); err != nil {
			return nil, nil, err
		}
	}
	if options.Music, err = p.Music(); err != nil {
		return nil, nil, err
	}
	composed, err := sheet.Compose(report, options)
	if err != nil {
		return nil, nil, err
	}
	outputs, err := together(in,
		func() (beside.Output, error) { return beside.Prepare(sheetPath, beside.PDFSeal.Writer(composed.Write)) },
		func() (beside.Output, error) {
			return beside.Prepare(pagesPath, beside.PDFSeal.Writer(func(w io.Writer) error {
				return pages.Write(w, options.Music, report, pages.Options{Paper: options.Paper, Plain: job.plain, Page: composed.Page})
			}))
		},
		func() (beside.Output, error) {
			marks := job.marks
			marks.Remarks = said
			if err := mark.Mark(p.File, report, marks); err != nil {
				return beside.Output{}, fmt.Errorf("%s: %w", in, err)
			}
			if job.mxl {
				return beside.Prepare(markedPath, beside.MXLSeal.Writer(p.File.WriteMXL))
			}
			return beside.Prepare(markedPath, beside.XMLSeal.Writer(plain(p.File)))
		})
	if err != nil {
		return nil, nil, err
	}
	for _, o := range outputs {
		aside, e := o.Publish()
		if aside != "" {
			kept = append(kept, aside)
		}
		err = errors.Join(err, e)
	}
	return []string{sheetPath, pagesPath, markedPath}, kept, err
}

// together prepares several outputs of a score at the same time, all of them or
// none.
func together(in string, jobs ...func() (beside.Output, error)) ([]beside.Output, error) {
	outputs := make([]beside.Output, len(jobs))
	failed := make([]error, len(jobs))
	var all sync.WaitGroup
	for i, job := range jobs {
		all.Go(func() {
			failed[i] = guarded(in, func() (err error) {
				outputs[i], err = job()
				return err
			})
		})
	}
	all.Wait()
	err := errors.Join(failed...)
	for i := range outputs {
		if err != nil && failed[i] == nil {
			outputs[i].Discard()
		}
	}
	return outputs, err
}

// plain is a file's WriteTo without the count.
func plain(f *musicxml.File) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := f.WriteTo(w)
		return err
	}
}
