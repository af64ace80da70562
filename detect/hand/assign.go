package hand

import (
	"fmt"
	"slices"
	"sort"

	"hardbars/score"
)

// Taken says who plays some notes because somebody has decided so: the hand by
// the Head.ID of the note's attack.
type Taken map[int]score.Hand

// Assign returns the score with every note given to the hand that plays it. The
// score that was read stays as it is.
//
// The staff is where a note is written. A note goes to the other hand, with a
// Reason, by this evidence, the strongest first:
//
//   - somebody has decided so (taken),
//   - a word or bracket at the note, as far as that hand can take it,
//   - the voice, which stays with its hand on its way over the other staff,
//   - what a hand cannot take at once or in time, where the other hand is free
//     and near.
//
// A voice that would make a hand take what no hand can follows its staff again.
// The tempo is the written one.
func Assign(written *score.Score, hands [2]Hand, taken Taken) *score.Score {
	s := *written
	s.Notes = slices.Clone(written.Notes)
	s.Rests = slices.Clone(written.Rests)
	s.Warnings = slices.Clone(written.Warnings)
	a := &assigner{Score: &s, hands: hands, spread: map[int]bool{}}
	for _, sp := range s.Arpeggios {
		for _, n := range sp.Notes {
			a.spread[n] = true
		}
	}
	a.layOut()
	a.chooseStaves()
	if len(a.Staves) <= 2 {
		a.followVoices()
	}
	a.followWords()
	a.take(taken)
	a.shareChords()
	a.shareLeaps()
	a.summarise()
	a.sayImpossible()
	a.sortNotes()
	return &s
}

// assigner works on a copy of the score. Notes keep their order to the end.
type assigner struct {
	*score.Score
	hands  [2]Hand
	spread map[int]bool // notes under an arpeggio sign
	steps  []step
	stepOf []int        // of each note
	fixed  map[int]bool // notes that a word or a person has given to a hand
}

// step is one instant at which notes are struck.
type step struct {
	at     score.Rat
	struck []int // all but grace notes, of both hands
	held   []int // struck earlier and written on
}

func (a *assigner) layOut() {
	a.stepOf = make([]int, len(a.Notes))
	a.fixed = map[int]bool{}
	var held []int
	for i := 0; i < len(a.Notes); {
		st := step{at: a.Notes[i].Onset}
		for ; i < len(a.Notes) && a.Notes[i].Onset == st.at; i++ {
			a.stepOf[i] = len(a.steps)
			if a.Notes[i].Grace == 0 {
				st.struck = append(st.struck, i)
			}
		}
		held = slices.DeleteFunc(held, func(n int) bool { return !st.at.Less(a.Notes[n].End()) })
		st.held = slices.Clone(held)
		held = append(held, st.struck...)
		a.steps = append(a.steps, st)
	}
}

func (a *assigner) key(n int) int { return a.Notes[n].Pitch.MIDI() }

// staffHand is the hand whose staff a note is written on.
func (a *assigner) staffHand(n int) score.Hand { return a.Staves[a.Notes[n].Staff-1].Hand }

// give lets a hand play notes, and says why where that is not their staff's.
func (a *assigner) give(notes []int, hand score.Hand, why string) {
	for _, n := range notes {
		a.Notes[n].Hand, a.Notes[n].Reason = hand, why
		if hand == a.staffHand(n) {
			a.Notes[n].Reason = ""
		}
	}
}

// keysOf are the keys of those of notes that a hand plays, low to high, each once.
func (a *assigner) keysOf(notes []int, hand score.Hand) []int {
	var keys []int
	for _, n := range notes {
		if a.Notes[n].Hand == hand {
			keys = append(keys, a.key(n))
		}
	}
	return sorted(keys)
}

func (a *assigner) keys(notes []int) []int {
	keys := make([]int, len(notes))
	for i, n := range notes {
		keys[i] = a.key(n)
	}
	return sorted(keys)
}

func sorted(keys []int) []int {
	slices.Sort(keys)
	return slices.Compact(keys)
}

func union(a, b []int) []int { return sorted(slices.Concat(a, b)) }

// seconds from one step to another, at the written tempo.
func (a *assigner) seconds(from, to int) float64 {
	at := a.steps[from].at
	return a.steps[to].at.Sub(at).Float() * 60 / a.TempoAt(at).QPM
}

// pedalled reports whether the damper pedal holds what is struck before an instant.
func (a *assigner) pedalled(at score.Rat) bool {
	i := sort.Search(len(a.Pedals), func(i int) bool { return !a.Pedals[i].From.Less(at) })
	return slices.ContainsFunc(a.Pedals[:i], func(p score.Pedal) bool { return p.Kind == score.Damper && at.Less(p.To) })
}

// holds are the keys that a hand cannot leave at a step.
func (a *assigner) holds(step int, hand score.Hand) []int {
	if a.pedalled(a.steps[step].at) {
		return nil
	}
	return a.keysOf(a.steps[step].held, hand)
}

// strikes are the keys that a hand strikes at a step.
func (a *assigner) strikes(step int, hand score.Hand) []int {
	return a.keysOf(a.steps[step].struck, hand)
}

// Figures for a hand that lends itself to the other. Common practice.
const (
	helpSpeed   = 500.0 // mm a second: as fast as a hand goes to help without haste
	helpSeconds = 1.0   // what lies further off is no matter
)

// canHelp reports whether a hand can take keys beside what it strikes and holds
// itself, in comfort, and go there and back without haste.
func (a *assigner) canHelp(hand score.Hand, step int, keys []int) bool {
	h := a.hands[hand]
	h.SpanMM -= ComfortLess * SpanPerKey / WhiteWidth
	all := union(keys, a.strikes(step, hand))
	if !h.Covers(union(all, a.holds(step, hand))) {
		return false
	}
	for _, way := range []int{-1, 1} {
		for i := step + way; i >= 0 && i < len(a.steps); i += way {
			seconds := a.seconds(min(i, step), max(i, step))
			if seconds > helpSeconds {
				break
			}
			if other := a.strikes(i, hand); len(other) > 0 {
				if travel := Extent(union(all, other)) - a.hands[hand].Reach(); travel > helpSpeed*seconds {
					return false
				}
				break
			}
		}
	}
	return true
}

// impossible reports whether a hand strikes at a step what no hand can, though no
// sign spreads it.
func (a *assigner) impossible(step int, hand score.Hand) bool {
	return !Largest(hand).Covers(a.strikes(step, hand)) && !a.spreads(step, hand)
}

func (a *assigner) spreads(step int, hand score.Hand) bool {
	return slices.ContainsFunc(a.steps[step].struck, func(n int) bool { return a.Notes[n].Hand == hand && a.spread[n] })
}

// followVoices gives voices that visit the other staff their reason. A visit that
// asks a hand for what no hand can take was misread, and follows its staff.
func (a *assigner) followVoices() {
	for _, visit := range a.visits() {
		home, staff := a.Notes[visit[0]].Hand, a.staffHand(visit[0])
		stay := a.trouble(visit)
		a.give(visit, staff, "")
		if stay == 0 || a.trouble(visit) >= stay {
			a.give(visit, home, "its voice is the "+home.Name()+"'s")
		}
	}
}

// visits are the notes of a voice on the staff of the other hand, from a barline
// or rest to the next.
func (a *assigner) visits() [][]int {
	type line struct {
		staff int
		voice string
	}
	open := map[line]int{} // index into visits
	ends := map[line]score.Rat{}
	var visits [][]int
	for n := range a.Notes {
		note := &a.Notes[n]
		if note.Hand == a.staffHand(n) {
			continue
		}
		l := line{note.Staff, note.Voice}
		i, going := open[l]
		if !going || ends[l].Less(note.Onset) || a.Notes[visits[i][0]].Bar != note.Bar {
			i = len(visits)
			visits = append(visits, nil)
			open[l] = i
		}
		visits[i] = append(visits[i], n)
		ends[l] = score.Max(ends[l], note.End())
	}
	return visits
}

// trouble counts what no hand can take at once, and what no hand can reach in
// time, where notes are struck.
func (a *assigner) trouble(notes []int) int {
	count, last := 0, -1
	for _, n := range notes {
		step := a.stepOf[n]
		if step == last {
			continue
		}
		last = step
		for _, h := range []score.Hand{score.Right, score.Left} {
			if a.impossible(step, h) {
				count += 2
			}
		}
	}
	return count
}

// nextStep is the next step on one side at which a hand strikes; −1 for none.
func (a *assigner) nextStep(step, way int, hand score.Hand) int {
	for i := step + way; i >= 0 && i < len(a.steps); i += way {
		if len(a.strikes(i, hand)) > 0 {
			return i
		}
	}
	return -1
}

// take gives notes to the hands that somebody has decided on.
func (a *assigner) take(taken Taken) {
	for n := range a.Notes {
		if hand, ok := taken[a.Notes[n].Heads[0].ID]; ok {
			a.give([]int{n}, hand, "so decided in the remarks")
			a.fixed[n] = true
		}
	}
}

// sortNotes brings the notes into the order that a Score promises, and all that
// points at them along.
func (a *assigner) sortNotes() {
	order := make([]int, len(a.Notes))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return before(&a.Notes[order[i]], &a.Notes[order[j]]) })
	notes, at := make([]score.Note, len(order)), make([]int, len(order))
	for to, from := range order {
		notes[to], at[from] = a.Notes[from], to
	}
	a.Notes = notes
	arpeggios := slices.Clone(a.Arpeggios)
	for i := range arpeggios {
		sp := &arpeggios[i]
		sp.Notes = slices.Clone(sp.Notes)
		for j, n := range sp.Notes {
			sp.Notes[j] = at[n]
		}
		sp.Hand = notes[sp.Notes[0]].Hand
		for _, n := range sp.Notes {
			if notes[n].Hand != sp.Hand {
				sp.Hand = score.Both
			}
		}
	}
	a.Arpeggios = arpeggios
}

// before is the order of Score.Notes.
func before(a, b *score.Note) bool {
	switch {
	case a.Onset != b.Onset:
		return a.Onset.Less(b.Onset)
	case (a.Grace > 0) != (b.Grace > 0):
		return a.Grace > 0
	case a.Hand != b.Hand:
		return a.Hand < b.Hand
	case a.Grace != b.Grace:
		return a.Grace < b.Grace
	case a.Pitch.MIDI() != b.Pitch.MIDI():
		return a.Pitch.MIDI() < b.Pitch.MIDI()
	}
	return a.Heads[0].ID < b.Heads[0].ID
}

func cannotTake(hand score.Hand) string {
	return fmt.Sprintf("the %s cannot take the chord alone", hand.Name())
}
