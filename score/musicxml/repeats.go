package musicxml

import (
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
)

// readRepeats fills in the repeat signs and the endings of the bars.
func readRepeats(s *score.Score, items []placed) {
	var endings []mark
	for _, item := range items {
		if item.elem.Tag == "sound" && item.staff >= 0 && item.elem.SelectAttrValue("forward-repeat", "") == "yes" {
			s.Bars[item.bar].RepeatStart = true
		}
		if item.elem.Tag != "barline" || item.staff < 0 {
			continue
		}
		if e := item.elem.SelectElement("ending"); e != nil {
			endings = append(endings, mark{item.bar, e})
		}
		if r := item.elem.SelectElement("repeat"); r != nil {
			readRepeat(s.Bars, item, r)
		}
	}
	layEndings(s.Bars, onePerBar(endings))
	for i := range s.Bars {
		if bar := &s.Bars[i]; bar.RepeatEnd == untold {
			bar.RepeatEnd = lastPass(bar.Ending) + 1
		}
	}
}

// untold stands for a backward repeat that does not say how often.
const untold = -1

// readRepeat takes one repeat sign. One that begins on the wrong side of a
// barline belongs to the bar beyond.
func readRepeat(bars []score.Bar, item placed, repeat *etree.Element) {
	left := item.elem.SelectAttrValue("location", "right") == "left"
	right := item.elem.SelectAttrValue("location", "right") == "right"
	bar := item.bar
	switch repeat.SelectAttrValue("direction", "") {
	case "forward":
		if right && bar+1 < len(bars) {
			bar++
		}
		bars[bar].RepeatStart = true
	case "backward":
		if left && bar > 0 {
			bar--
		}
		bars[bar].RepeatEnd = untold
		if times := whole(repeat.SelectAttrValue("times", "")); times > 1 {
			bars[bar].RepeatEnd = int(min(times, maxTimes))
		}
	}
}

// maxTimes is more than any passage is repeated.
const maxTimes = 99

// mark is an element at a bar.
type mark struct {
	bar  int
	elem *etree.Element
}

// onePerBar puts the signs in order and leaves out those that a bar has already
// from another staff.
func onePerBar(endings []mark) []mark {
	sort.SliceStable(endings, func(i, j int) bool { return endings[i].bar < endings[j].bar })
	type side struct {
		bar    int
		starts bool
	}
	seen := map[side]bool{}
	return slices.DeleteFunc(endings, func(m mark) bool {
		key := side{m.bar, m.starts()}
		again := seen[key]
		seen[key] = true
		return again
	})
}

func (m mark) starts() bool { return m.elem.SelectAttrValue("type", "") == "start" }

// layEndings names the ending on each of its bars. An ending that is never
// closed lasts to the next one or to its repeat sign, or else for its first bar.
func layEndings(bars []score.Bar, endings []mark) {
	last := 0
	for i, e := range endings {
		if !e.starts() {
			continue
		}
		number := endingNumber(e.elem, last)
		last = lastPass(number)
		end := endingEnd(bars, endings[i:])
		for bar := e.bar; bar <= end; bar++ {
			bars[bar].Ending = number
		}
	}
}

// endingEnd is the last bar of the ending that begins with the first mark.
func endingEnd(bars []score.Bar, endings []mark) int {
	limit := len(bars)
	if len(endings) > 1 {
		next := endings[1]
		if !next.starts() {
			return next.bar
		}
		limit = next.bar
	}
	for bar := endings[0].bar; bar < limit; bar++ {
		if bars[bar].RepeatEnd != 0 {
			return bar
		}
	}
	return endings[0].bar
}

var numbers = regexp.MustCompile(`[0-9]+`)

// endingNumber is "1" or "1,2"; where the sign does not say, the one after the last.
func endingNumber(ending *etree.Element, last int) string {
	for _, text := range []string{ending.SelectAttrValue("number", ""), ending.Text()} {
		if n := numbers.FindAllString(text, -1); n != nil {
			return strings.Join(n, ",")
		}
	}
	return strconv.Itoa(last + 1)
}

// lastPass is the last time that an ending is played, 1 outside of endings.
func lastPass(ending string) int {
	last := 1
	for n := range strings.SplitSeq(ending, ",") {
		last = max(last, int(min(whole(n), maxTimes)))
	}
	return last
}

// readJumps fills in the bars' jumps from signs, words and sounds.
func readJumps(s *score.Score, items []placed, all []*direction) {
	if len(s.Bars) == 0 {
		return
	}
	for _, item := range items {
		if item.elem.Tag == "barline" && item.staff >= 0 {
			for _, name := range []string{"segno", "coda"} {
				if item.elem.SelectElement(name) != nil {
					addJump(&s.Bars[item.bar], name)
				}
			}
		}
	}
	for _, d := range all {
		jumps := d.jumps()
		for _, jump := range jumps {
			addJump(&s.Bars[d.bar], jump)
		}
		if len(jumps) > 0 && d.text != "" {
			d.read = true
		}
	}
	leaveAtFirstCoda(s.Bars)
}

func addJump(bar *score.Bar, jump string) {
	if !slices.Contains(bar.Jumps, jump) {
		bar.Jumps = append(bar.Jumps, jump)
	}
}

// jumps is what one direction says about the order of play. The coda sign also
// marks the place to leave from: words or a sound beside it tell.
func (d *direction) jumps() []string {
	var jumps []string
	for _, name := range []struct{ attr, jump string }{
		{"segno", "segno"}, {"coda", "coda"}, {"tocoda", "to coda"}, {"dacapo", "da capo"}, {"dalsegno", "dal segno"}, {"fine", "fine"},
	} {
		if v := d.soundAttr(name.attr); v != "" && v != "no" {
			jumps = append(jumps, name.jump)
		}
	}
	if jump := d.phrase.jump(); jump != "" && !slices.Contains(jumps, jump) {
		jumps = append(jumps, jump)
	}
	for _, sign := range d.signs {
		isSign := sign.Tag == "segno" || sign.Tag == "coda"
		if isSign && len(jumps) == 0 {
			jumps = append(jumps, sign.Tag)
		}
	}
	switch {
	case len(jumps) > 0:
	case strings.Contains(d.text, segnoSign):
		jumps = append(jumps, "segno")
	case strings.Contains(d.text, codaSign):
		jumps = append(jumps, "coda")
	}
	return jumps
}

// jump reads words about the order of play. "D.C. al Fine" is a da capo: the
// end itself stands elsewhere.
func (p phrase) jump() string {
	switch {
	case p.begins("d c", "dc", "da capo", "dacapo") && len(p) <= 8:
		return "da capo"
	case p.begins("d s", "ds", "dal segno", "dalsegno", "del segno") && len(p) <= 8:
		return "dal segno"
	case p.is("to coda", "al coda", "alla coda", "e poi la coda", "zur coda"):
		return "to coda"
	case p.is("coda"):
		return "coda"
	case p.is("segno"):
		return "segno"
	case p.is("fine", "il fine", "al fine"):
		return "fine"
	}
	return ""
}

// leaveAtFirstCoda reads the first of two coda signs as the place to leave
// from, where nothing else says so. Common practice.
func leaveAtFirstCoda(bars []score.Bar) {
	var codas []int
	for i := range bars {
		if slices.Contains(bars[i].Jumps, "to coda") {
			return
		}
		if slices.Contains(bars[i].Jumps, "coda") {
			codas = append(codas, i)
		}
	}
	if len(codas) > 1 {
		jumps := bars[codas[0]].Jumps
		jumps[slices.Index(jumps, "coda")] = "to coda"
	}
}
