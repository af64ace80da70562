// Package detect finds the places of a score that will be hard for this
// player's hands at this tempo, and ranks them on one scale.
//
// It holds the player, what a hand does from one attack to the next, and what
// all kinds of hard place share; the kinds themselves are packages below
// detect/kinds. A Score and a list of detectors go in, a Report comes out: XML,
// PDF, files and the command line are kept out.
package detect

import (
	"fmt"
	"slices"
	"sync"

	"hardbars/detect/hand"
	"hardbars/score"
)

// Kind names a kind of hard place, as in JSON and flags: "cross-rhythm".
type Kind string

// Detector finds one kind of hard place.
type Detector struct {
	Kind   Kind
	Name   string  // as a pianist says it: "two rhythms at once"
	Doc    string  // one paragraph: what it is, when it counts, how its demand is measured
	Limits []Limit // the thresholds and capacities it goes by
	Basis  Basis   // of its demand, in the main
	Rests  string  // one sentence: what its demand rests on, and what speaks for it or against it
	Ranked float64 // the share of its demand by which its places are ranked; 0 for all of it
	OfMind bool    // it asks for counting, reading or memory: no part of the demand of a bar and of the piece, which is for the hands
	Run    func(*Pass)

	// Telling are the fields of the detail, by their names in JSON, that can be
	// checked against the page by eye: what the test data of the kind says.
	Telling []string

	Speech Speech // how a teacher speaks of it

	// Practise says how a hot spot of the kind is practised; nil for general advice.
	Practise func(*Practice) Lesson
}

// Limit is one figure that a detector goes by, for the player to read.
type Limit struct {
	Name   string // "comfortable, in bits a second"
	Value  string // "5 returning"
	Source string // a publication, or "common practice"
}

// Pass hands a detector all that it may look at.
type Pass struct {
	Score  *score.Score
	Player Player
	Clock  *Clock     // real time at the tempo that the player wants
	Events [2][]Event // what each hand strikes, by score.Hand
	at     *Detector  // at work
	found  []Occurrence
	ended  []score.Rat // for each note, when it and all before it have ended; see firstSounding

	fingering func() *hand.Fingering // found when first asked for
	model     func() *hand.Fingering // the same, of the hand that the finger spans were given for
	helps     func() []hand.Help     // the same

	strokesOf [2][]stroke // what strokes and attacks return, laid out once
	attacksOf [2][]Attack
}

// Fingering is which of the player's fingers takes which note, at the written tempo.
func (p *Pass) Fingering() *hand.Fingering { return p.fingering() }

// ModelFingering is the fingering of the hand that the published finger spans
// were given for: by it one figure is as awkward for every player, and no smaller
// hand finds it easier.
func (p *Pass) ModelFingering() *hand.Fingering { return p.model() }

// Report adds a finding; its Kind is set here, what share of its demand ranks it,
// and whether it is of the mind.
func (p *Pass) Report(o Occurrence) {
	o.Kind, o.ranked, o.ofMind = p.at.Kind, p.at.Ranked, p.at.OfMind
	p.found = append(p.found, o)
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
	Plain    string    // as a teacher would say it, without units; set by the kind's Speech, "" for what Label says
	Detail   any       // the kind's own JSON detail
	Picture  Picture   // what the study sheet draws; nil for none
	Exercise Exercise  // what is drilled beside the general drills; nil for nothing
	ranked   float64   // as its Detector has it
	ofMind   bool      // as its Detector has it
}

// weight is the part of the demand by which the place is ranked.
func (o *Occurrence) weight() float64 {
	if o.ranked == 0 {
		return o.Demand
	}
	return o.ranked * o.Demand
}

// Spot is a hot spot: a run of occurrences of one kind in one hand with at
// most one bar between neighbours. Quiet occurrences are merged apart.
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
	Quiet       bool      // well inside the player's comfort: demand is less than QuietBelow
	Comfortable float64   // quarter notes a minute at which demand is 1; 0 where tempo does not change it
	Target      float64   // quarter notes a minute asked at the hardest occurrence
	Label       string
	Why         string
	Occurrences []Occurrence // by time
	Hardest     int          // index into Occurrences
}

// Report is everything found in one score for one player.
type Report struct {
	Score     *score.Score
	Player    Player
	Clock     *Clock
	Kinds     []*Detector // that looked at it
	Spots     []Spot      // by rank; the quiet ones come last
	Families  []Family    // by the rank of their best-ranked spot
	Passages  []Passage   // what one practises: the shortlist in the order to learn, then the others by place
	BarDemand []float64   // of each bar by BarRule, 0 where nothing is played
	LeftOut   int         // quiet spots that WithoutQuiet left out of Spots
	pass      *Pass       // that found them
}

// Analyze runs detectors over a score. What the player left out is as in
// DefaultPlayer. A score in which nothing is hard gives a report without spots.
func Analyze(s *score.Score, p Player, kinds []*Detector) *Report {
	p = p.orDefault()
	pass := NewPass(s, p)
	pass.run(kinds)
	r := &Report{Score: s, Player: p, Clock: pass.Clock, Kinds: kinds, BarDemand: pass.barDemand(), pass: pass}
	r.Spots = hotSpots(s, pass.Clock, pass.found)
	r.group()
	r.FindPassages()
	return r
}

// Help is what the other hand could take of some notes, so that a leap asks for a
// tenth less or goes away; ok is false where there is no such help.
func (r *Report) Help(notes []int) (help hand.Help, ok bool) {
	for _, h := range r.pass.helps() {
		if slices.ContainsFunc(h.Notes, func(n int) bool { return slices.Contains(notes, n) }) && (!ok || h.After < help.After) {
			help, ok = h, true
		}
	}
	return help, ok
}

// Fingering is which of the player's fingers takes which note, at the written
// tempo: slow practice goes with the fingers of the tempo to come.
func (r *Report) Fingering() *hand.Fingering { return r.pass.fingering() }

// Find runs one detector alone over a score, and returns what it finds in the
// order in which it finds it.
func (d *Detector) Find(s *score.Score, p Player) []Occurrence {
	pass := NewPass(s, p)
	pass.run([]*Detector{d})
	return pass.found
}

// NewPass lays out what detectors look at.
func NewPass(s *score.Score, p Player) *Pass {
	pass := &Pass{Score: s, Player: p, Clock: newClock(s, p.Tempo), Events: events(s)}
	pass.fingering = sync.OnceValue(func() *hand.Fingering {
		return hand.Finger(s, p.Hands(), pass.Clock.Written)
	})
	pass.model = sync.OnceValue(func() *hand.Fingering {
		var model [2]hand.Hand
		for side := range model {
			model[side] = hand.Hand{Side: score.Hand(side), SpanMM: hand.ModelSpan}
		}
		return hand.Finger(s, model, pass.Clock.Written)
	})
	pass.helps = sync.OnceValue(func() []hand.Help { return hand.Suggest(s, p.Hands()) })
	for _, hand := range []score.Hand{score.Right, score.Left} {
		pass.strokes(hand)
		pass.Attacks(hand)
	}
	pass.firstSounding(score.Rat{})
	return pass
}

// run lets the detectors look at the piece side by side, each with a pass of
// its own, and takes in what they find in the order of the list. A panic in one
// of them comes to the caller.
func (p *Pass) run(kinds []*Detector) {
	passes := make([]Pass, len(kinds))
	faults := make([]any, len(kinds))
	var running sync.WaitGroup
	for i, d := range kinds {
		passes[i] = *p
		passes[i].at = d
		running.Go(func() {
			defer func() { faults[i] = recover() }()
			d.Run(&passes[i])
			if d.Speech.Says != nil {
				for n := range passes[i].found {
					passes[i].found[n].Plain = d.Speech.Says(&passes[i].found[n])
				}
			}
		})
	}
	running.Wait()
	for i, d := range kinds {
		if faults[i] != nil {
			panic(fmt.Sprintf("%s: %v", d.Kind, faults[i]))
		}
		p.found = append(p.found, passes[i].found...)
	}
}

// bars are the first and last bar of an occurrence, indices into Score.Bars.
func (o *Occurrence) bars(s *score.Score) (first, last int) {
	first = s.BarAt(o.From)
	return first, max(first, s.BarEnding(o.To))
}
