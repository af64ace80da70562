package musicxml

import (
	"strings"

	"github.com/beevik/etree"

	"hardbars/score"
	"hardbars/score/notation"
)

// attributes reads <attributes>. A key or time signature in the middle of a bar
// is in force from the next bar on.
func (p *partReader) attributes(attributes *etree.Element) {
	var times, keys []*etree.Element
	for elem := range attributes.ChildElementsSeq() {
		switch elem.Tag {
		case "divisions":
			p.setDivisions(elem.Text())
		case "time":
			times = append(times, elem)
		case "key":
			keys = append(keys, elem)
		case "staves":
			p.staves = max(p.staves, int(min(whole(elem.Text()), maxStaves)))
		case "transpose":
			p.transpose(elem)
		case "clef":
			staff := staffNumber(elem)
			p.clefs[staff] = clefOf(elem)
		case "measure-style":
			p.measureStyle(elem)
		}
	}
	if time := first(times); time != nil {
		p.setTime(time)
	}
	if key := first(keys); key != nil {
		p.key = keyOf(key)
	}
	if p.clock.file.IsZero() {
		p.stampBar()
	}
}

// maxStaves is more than any keyboard part has.
const maxStaves = 16

// first is the element that holds for the whole part or else for its top staff.
func first(elems []*etree.Element) *etree.Element {
	for _, elem := range elems {
		if staffNumber(elem) == 1 {
			return elem
		}
	}
	if len(elems) > 0 {
		return elems[0]
	}
	return nil
}

// staffNumber is the number attribute of a clef, key or time; 1 without one.
func staffNumber(elem *etree.Element) int {
	return max(1, int(min(whole(elem.SelectAttrValue("number", "1")), maxStaves)))
}

// setDivisions sets how many divisions make a quarter.
func (p *partReader) setDivisions(text string) {
	p.divided = true
	n, ok := number(text)
	if !ok || n.Sign() <= 0 || !n.Less(score.Int(maxDivisions)) || n.Less(score.R(1, maxDivisions)) {
		p.warn("divisions of %q make no sense; kept to %s for a quarter note", short(text), p.divisions)
		return
	}
	if n.Den() != 1 {
		p.warn("divisions of %s are not a whole number; read as they stand", n)
	}
	p.divisions, p.clock.unit = n, score.Int(1).Div(n)
}

// guessDivisions is for a part that does not begin by saying how many divisions
// make a quarter: the first plain note of a known value tells it.
func guessDivisions(measures []measureView) score.Rat {
	for _, m := range measures {
		for _, note := range m.content.NotNil().SelectElements("note") {
			value, known := notation.TypeLength(childText(note, "type"))
			duration, ok := number(childText(note, "duration"))
			if !known || !ok || duration.Sign() <= 0 || note.SelectElement("time-modification") != nil {
				continue
			}
			return duration.Div(notation.Dotted(value, len(note.SelectElements("dot"))))
		}
	}
	return score.Int(1)
}

// Beyond these a time signature is a mistake of the file.
const maxBeats, maxBeatType = 128, 128

// setTime reads a time signature: plain, additive ("3+2" over 8), composite
// ("2/4+3/8") or none (senza misura). Of interchangeable ones the first counts.
func (p *partReader) setTime(elem *etree.Element) {
	if elem.SelectElement("senza-misura") != nil {
		p.time = score.Time{}
		return
	}
	var beats []string
	var types []int64
	length := score.Rat{}
	for b := range elem.SelectElementsSeq("beats") {
		beats = append(beats, strings.Join(strings.Fields(b.Text()), ""))
	}
	for b := range elem.SelectElementsSeq("beat-type") {
		types = append(types, whole(b.Text()))
	}
	ok := len(beats) > 0 && len(beats) == len(types)
	for i := 0; ok && i < len(beats); i++ {
		var sum int64
		for term := range strings.SplitSeq(beats[i], "+") {
			sum += whole(term)
			ok = ok && whole(term) > 0
		}
		ok = ok && sum <= maxBeats && types[i] > 0 && types[i] <= maxBeatType
		if ok {
			length = length.Add(score.R(4*sum, types[i]))
		}
	}
	if !ok {
		p.warn("a time signature that makes no sense was left out")
		return
	}
	p.time = score.Time{Beats: composite(beats, types), BeatType: int(types[0]), Length: length}
}

// composite writes the upper figure: "3+2", and "2/4+3/8" where the lower one changes.
func composite(beats []string, types []int64) string {
	if len(beats) == 1 {
		return beats[0]
	}
	var terms []string
	for i := range beats {
		terms = append(terms, score.Time{Beats: beats[i], BeatType: int(types[i])}.String())
	}
	return strings.Join(terms, "+")
}

func keyOf(elem *etree.Element) score.Key {
	return score.Key{
		Fifths: int(max(-14, min(14, whole(childText(elem, "fifths"))))),
		Mode:   childText(elem, "mode"),
	}
}

// clefOf is a clef's sign: 'G', 'F', 'C', and 0 for others.
func clefOf(elem *etree.Element) byte {
	switch sign := childText(elem, "sign"); sign {
	case "G", "F", "C":
		return sign[0]
	}
	return 0
}

// measureStyle notes bars that are drawn as one sign: a rest over several bars,
// and bars drawn as "the same again".
func (p *partReader) measureStyle(style *etree.Element) {
	if rest := style.SelectElement("multiple-rest"); rest != nil {
		p.restUntil = p.bar + int(min(whole(rest.Text()), maxQuarters))
	}
	if repeat := style.SelectElement("measure-repeat"); repeat != nil {
		p.repeating = repeat.SelectAttrValue("type", "start") == "start"
	}
}
