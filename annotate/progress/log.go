package progress

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"hardbars/annotate/remarks"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

// Entry is one line of the log: one sitting at one place.
type Entry struct {
	Line    int // in the file, counted from 1
	Date    time.Time
	Spot    string // the place's identity; in older logs its number on that day
	Bars    string // as printed on that day
	Hand    score.Hand
	Kind    detect.Kind
	Tempo   string // the fastest clean one, as a player says it: "dotted quarter = 44"; "" for none
	Minutes int    // 0 where it is not said
	Note    string
	Print   Print // of the notes of the bars; the zero Print in a line written by hand
}

// QPM is the entry's tempo in quarter notes a minute, 0 where it has none.
func (e *Entry) QPM() float64 {
	choice, err := detect.ParseTempo(e.Tempo)
	if err != nil {
		return 0
	}
	return choice.QPM
}

// Damage is a line that makes no sense. It stays in the file as it is.
type Damage struct {
	Line int // counted from 1
	Err  error
}

func (d Damage) String() string { return fmt.Sprintf("line %d: %v", d.Line, d.Err) }

// Log is what a log file says.
type Log struct {
	Entries []Entry // in the order of the file
	Damaged []Damage
}

// Parse reads a log file. What it cannot read it reports; it never fails.
func Parse(data []byte) *Log {
	log := &Log{}
	text := strings.TrimPrefix(string(data), "\ufeff")
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		e, err := parseLine(line)
		if err != nil {
			log.Damaged = append(log.Damaged, Damage{i + 1, err})
			continue
		}
		e.Line = i + 1
		log.Entries = append(log.Entries, e)
	}
	return log
}

// separator parts the fields of a line. The note is the last and may hold more.
const separator = "|"

const fields = 8

var errFields = errors.New(`expected date | place | bars | hand | kind | tempo | minutes | note, such as 2026-03-02 | 12-15-left-leap | 12–15 | left | leap | quarter = 52 | 10 min | lighter`)

func parseLine(line string) (e Entry, err error) {
	parts := strings.SplitN(line, separator, fields)
	if len(parts) < fields-1 {
		return e, errFields
	}
	for i := range parts {
		parts[i] = strings.Join(strings.Fields(parts[i]), " ")
	}
	if e.Date, err = time.Parse(time.DateOnly, parts[0]); err != nil {
		return e, fmt.Errorf("the date %q: expected year, month and day, such as 2026-03-02", parts[0])
	}
	e.Spot, e.Bars, e.Kind = parts[1], parts[2], detect.Kind(parts[4])
	if e.Bars == "" {
		return e, errors.New("the bars are missing: expected such as 12 or 12–15")
	}
	if e.Hand, err = parseHand(parts[3]); err != nil {
		return e, err
	}
	if kinds.Find(e.Kind) == nil && e.Kind != remarks.Added && e.Kind != Bars {
		return e, fmt.Errorf("there is no kind %q; hardbars kinds lists them", e.Kind)
	}
	if e.Tempo, err = parseTempo(parts[5]); err != nil {
		return e, err
	}
	if e.Minutes, err = parseMinutes(parts[6]); err != nil {
		return e, err
	}
	if len(parts) == fields {
		e.Note, e.Print = cutPrint(parts[7])
	}
	return e, nil
}

func parseHand(text string) (score.Hand, error) {
	for _, h := range []score.Hand{score.Right, score.Left, score.Both} {
		if text == h.String() {
			return h, nil
		}
	}
	return 0, fmt.Errorf("the hand %q: expected right, left or both", text)
}

// parseTempo checks a tempo and leaves its words.
func parseTempo(text string) (string, error) {
	if text == "" {
		return "", nil
	}
	choice, err := detect.ParseTempo(text)
	if err == nil && choice.QPM == 0 {
		err = fmt.Errorf("the tempo %q: expected a note and how many a minute, such as quarter = 52", text)
	}
	return text, err
}

// mostMinutes is a day.
const mostMinutes = 24 * 60

func parseMinutes(text string) (int, error) {
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(strings.TrimSpace(strings.TrimSuffix(text, "min")))
	if err == nil {
		err = CheckMinutes(n)
	}
	if err != nil {
		return 0, fmt.Errorf("the minutes %q: expected such as 10 min", text)
	}
	return n, nil
}

// CheckMinutes tells why a sitting cannot have been so long.
func CheckMinutes(n int) error {
	if n < 0 || n > mostMinutes {
		return fmt.Errorf("%d minutes: give 0 to %d", n, mostMinutes)
	}
	return nil
}

var printAtEnd = regexp.MustCompile(`(?:^| )\[(\d{1,4}) (\d{1,6}) ([0-9a-f]{8}) ([0-9a-f]{8}) ([0-9a-f]{16}) (\d{1,4})/(\d{1,4})\]$`)

// cutPrint takes the print off the end of a note.
func cutPrint(text string) (note string, p Print) {
	m := printAtEnd.FindStringSubmatch(text)
	if m == nil {
		return text, Print{}
	}
	p = Print{Bars: number(m[1]), Notes: number(m[2]), Exact: m[3], Shape: m[4], Nth: number(m[6]), Of: number(m[7])}
	p.Sketch, _ = strconv.ParseUint(m[5], 16, 64) // 16 hexadecimal digits always fit
	return strings.TrimSuffix(text, m[0]), p
}

// number reads digits that printAtEnd has let through.
func number(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

// String is the entry as a line of the log, without a line end. Parse reads it
// back. Spaces and line ends within the words become single spaces.
func (e *Entry) String() string {
	minutes := ""
	if e.Minutes > 0 {
		minutes = fmt.Sprintf("%d min", e.Minutes)
	}
	note := e.Note
	if e.Print != (Print{}) {
		note += " " + e.Print.String()
	}
	line := strings.Join([]string{
		e.Date.Format(time.DateOnly), e.Spot, e.Bars, e.Hand.String(), string(e.Kind), e.Tempo, minutes, note,
	}, " "+separator+" ")
	return strings.Join(strings.Fields(line), " ")
}

// head begins a new log.
const head = `# Practice of %s
#
# Each line is one sitting at one place:
# date | place | bars | hand | kind | clean tempo | minutes | note [notes]
# hardbars adds lines at the end. Change them as you like, take lines out,
# write your own; lines that begin with # are passed over. What stands in
# brackets finds the bars again by their notes when the score has changed.
# A place is named by its bars, counted from the first of the score, which may
# differ from the printed numbers beside it, and by its hand and kind.

`

// Append returns a log file with an entry more. What was there before is kept
// byte for byte, at the beginning; an empty file gets a heading with the title.
func Append(data []byte, title string, e *Entry) []byte {
	if len(data) == 0 {
		data = fmt.Appendf(nil, head, strings.Join(strings.Fields(title), " "))
	}
	end := "\n"
	if bytes.Contains(data, []byte("\r\n")) {
		end = "\r\n"
	}
	out := bytes.Clone(data)
	if !bytes.HasSuffix(out, []byte("\n")) {
		out = append(out, end...)
	}
	return append(out, e.String()+end...)
}

var errLineGone = errors.New("this line of the practice log is no longer there: it was changed or taken back elsewhere; look at the log again")

// Replace puts entries in place of an entry, which stays above them as a comment;
// without entries it is taken back. The entry is known by its line and, where
// that has moved, by what it says. Every other byte of the file stays as it is.
func Replace(data []byte, old *Entry, by ...Entry) ([]byte, error) {
	lines := strings.SplitAfter(string(data), "\n")
	is := func(i int) bool {
		e, err := parseLine(strings.TrimSpace(strings.TrimPrefix(lines[i], "\ufeff")))
		e.Line = old.Line
		return err == nil && e == *old
	}
	at := old.Line - 1
	if at < 0 || at >= len(lines) || !is(at) {
		at = -1
		for i := range lines {
			if is(i) {
				at = i
			}
		}
		if at < 0 {
			return nil, errLineGone
		}
	}
	bom, text := "", lines[at]
	if strings.HasPrefix(text, "\ufeff") {
		bom, text = "\ufeff", strings.TrimPrefix(text, "\ufeff")
	}
	words := strings.TrimRight(text, "\r\n")
	end := text[len(words):]
	if end == "" {
		end = "\n"
	}
	label := "# taken back: "
	if len(by) > 0 {
		label = "# changed: "
	}
	lines[at] = bom + label + words + end
	for i := range by {
		lines[at] += by[i].String() + end
	}
	return []byte(strings.Join(lines, "")), nil
}
