package musicxml

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"hardbars/score"
)

// A file's tempo for playback is what a program played: it bends at every fermata
// and breath. What a player aims at is what is printed, and only where nothing is
// does playback tell it, by its middle.

// lasting is how many bars a tempo that is not printed holds if it is a tempo of
// its own and no bend.
const lasting = 4

// station is a place at which the tempo is named, and for how long it holds.
type station struct {
	marks   []tempoMark
	printed bool
	figure  tempoMark // the most trusted; trust noFigure where there is none
	until   score.Rat
}

// withoutPlayback takes the bends of playback out of the marks, which are by
// place. Marks of gradual changes stay.
func withoutPlayback(s *score.Score, marks []tempoMark, w *warner) []tempoMark {
	stations := stationsOf(s, marks)
	bends := 0
	for i := range stations {
		if stations[i].bends(s) {
			bends++
		}
	}
	shaped := bends >= max(3, len(s.Bars)/8)
	var kept []tempoMark
	told := map[bool]int{} // bends, by whether something printed held
	printed := false
	for i := 0; i < len(stations); i++ {
		st := stations[i]
		switch {
		case st.figure.trust == noFigure:
		case st.printed:
			printed = true
			if shaped {
				st.marks = slices.DeleteFunc(st.marks, func(m tempoMark) bool { return m.trust == soundTrust || m.trust == hiddenTrust })
			}
		case printed && st.bends(s) || shaped && printed:
			told[true]++
			st.marks = onlyText(st.marks)
		case shaped:
			// Nothing is printed yet: the middle of what playback does up to then.
			last := i
			for last+1 < len(stations) && !stations[last+1].printed {
				last++
			}
			st.marks = append(onlyText(st.marks), middle(s, stations[i:last+1]))
			for _, bend := range stations[i+1 : last+1] {
				st.marks = append(st.marks, onlyText(bend.marks)...)
			}
			told[false] += last - i + 1
			i = last
		}
		kept = append(kept, st.marks...)
	}
	if n := told[false]; n > 0 {
		w.add(wholeFile, "no tempo is printed at first, and the file's playback tempo changes %d times: its middle is taken", n)
	}
	if n := told[true]; n > 0 {
		w.add(wholeFile, "the file's playback tempo bends in %s where none is printed: not taken for a tempo to aim at", counted(n, "place"))
	}
	sort.SliceStable(kept, func(i, j int) bool { return kept[i].at.Less(kept[j].at) })
	return kept
}

func stationsOf(s *score.Score, marks []tempoMark) []station {
	var stations []station
	before := 0.0 // the last figure
	for here := range byPlace(marks, func(m tempoMark) score.Rat { return m.at }) {
		st := station{marks: slices.Clone(here), figure: best(here), until: s.End()}
		for _, m := range here {
			st.printed = st.printed || m.trust == markTrust || m.trust == wordTrust || m.trust == ratioTrust
		}
		if !st.printed && st.figure.qpm == before {
			st.figure, st.marks = tempoMark{}, onlyText(here) // as before
		}
		if st.figure.trust != noFigure {
			before = st.figure.qpm
			for k := len(stations) - 1; k >= 0 && stations[k].until == s.End(); k-- {
				stations[k].until = here[0].at
			}
		}
		stations = append(stations, st)
	}
	return stations
}

// bends reports whether a tempo is not printed and does not last.
func (st *station) bends(s *score.Score) bool {
	if st.printed || st.figure.trust == noFigure {
		return false
	}
	bar := s.Bars[st.figure.bar].Length
	return st.until.Sub(st.figure.at).Less(bar.Mul(score.Int(lasting)))
}

// middle is the median of the playback tempos of some stations, by how long each
// holds, to a whole number of beats.
func middle(s *score.Score, stations []station) tempoMark {
	type span struct{ qpm, quarters float64 }
	var spans []span
	total := 0.0
	for i := range stations {
		if st := &stations[i]; st.figure.qpm > 0 {
			long := st.until.Sub(st.figure.at).Float()
			spans, total = append(spans, span{st.figure.qpm, long}), total+long
		}
	}
	slices.SortStableFunc(spans, func(a, b span) int { return cmp.Compare(a.qpm, b.qpm) })
	m := stations[0].figure
	m.trust = soundTrust
	for passed, i := 0.0, 0; i < len(spans); i++ {
		m.qpm = spans[i].qpm
		if passed += spans[i].quarters; 2*passed >= total {
			break
		}
	}
	time := s.Bars[m.bar].Time
	m.beat = time.BeatFor(m.qpm)
	m.qpm = math.Round(m.qpm/m.beat.Float()) * m.beat.Float()
	return m
}

// onlyText keeps of some marks what names no tempo.
func onlyText(marks []tempoMark) []tempoMark {
	return slices.DeleteFunc(slices.Clone(marks), func(m tempoMark) bool { return m.trust != noFigure })
}
