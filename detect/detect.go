// Package detect finds the places of a score that will be hard for this
// player's hands at this tempo, and ranks them on one scale.
//
// It knows the keyboard and the hand as physical things, the player, and one
// file for each kind of hard place. It refuses to know XML, PDF, files and
// the command line: a Score goes in, a Report comes out.
//
// A new kind is one new file that declares a Detector, its test data, and one
// line in All.
package detect

import "hardbars/score"

// Kind names a kind of hard place, as in JSON and flags: "cross-rhythm".
type Kind string

// All is the one list of detectors. Nothing else knows a kind by its name.
var All = []*Detector{}

// Detector finds one kind of hard place.
type Detector struct {
	Kind   Kind
	Name   string  // as a pianist says it: "two rhythms at once"
	Doc    string  // one paragraph: what it is, when it counts, how its demand is measured
	Limits []Limit // the thresholds and capacities it goes by
	Run    func(*Pass)
}

// Limit is one figure that a detector goes by, for the player to read.
type Limit struct {
	Name   string // "bits a second, comfortable"
	Value  string // "5.5 (returning)"
	Source string // a publication, or "common practice"
}

// Pass hands a detector all that it may look at.
type Pass struct {
	Score  *score.Score
	Player Player
	Clock  *Clock     // real time at the tempo that the player wants
	Events [2][]Event // what each hand strikes, by score.Hand
	found  []Occurrence
}

// Report adds a finding.
func (p *Pass) Report(o Occurrence) { p.found = append(p.found, o) }

// Event is what one hand strikes at one instant, with what it still holds.
// Grace notes are not events of their own: they come with their main note.
type Event struct {
	At     score.Rat
	Struck []int // indices into Score.Notes, low to high
	Held   []int // notes of this hand struck earlier and not yet ended, low to high
	Grace  []int // grace notes before it, in order
}

// Occurrence is one place as a detector found it.
type Occurrence struct {
	Kind     Kind
	Hand     score.Hand
	From, To score.Rat // from the start of the piece; To is the end of the last note involved
	Notes    []int     // the notes involved, indices into Score.Notes
	Demand   float64   // asked ÷ comfortable; 1 is the comfortable limit
	Timed    bool      // demand grows in proportion to the tempo
	Shape    string    // equal for the same problem again, transposed or not
	Label    string    // a few words for a mark in the score: "4 over 3"
	Why      string    // one sentence with the numbers
	Detail   any       // the kind's own JSON detail
	Picture  Picture   // what the study sheet draws; nil for none
}

// Spot is a hot spot: a run of occurrences of one kind in one hand with at
// most one bar between neighbours.
type Spot struct {
	ID          string // "1", "2", … in order of rank
	Rank        int
	Kind        Kind
	Hand        score.Hand
	Family      string    // "A", "B", …
	From, To    score.Rat // from the start of the piece
	FirstBar    int       // index into Score.Bars
	LastBar     int       // index into Score.Bars, inclusive
	Demand      float64   // of its hardest occurrence
	Comfortable float64   // quarter notes a minute at which demand is 1; 0 where tempo does not change it
	Target      float64   // quarter notes a minute asked at the hardest occurrence
	Label       string
	Why         string
	Occurrences []Occurrence // by time
	Hardest     int          // index into Occurrences
}

// Family is hot spots that are the same problem again.
type Family struct {
	ID         string
	Kind       Kind
	Spots      []string // ids, by time
	LearnFirst string   // the id of the one to learn first
}

// Report is everything found in one score for one player.
type Report struct {
	Score     *score.Score
	Player    Player
	Clock     *Clock
	Spots     []Spot    // by rank
	Families  []Family  // by the rank of their best-ranked spot
	BarDemand []float64 // the highest demand in each bar, 0 where nothing was found
}

// Analyze runs every detector over a score.
func Analyze(s *score.Score, p Player) *Report { panic("being written") }
