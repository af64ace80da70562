package ornament

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	l := detect.Lesson{Proof: "the beat as steady as without the ornament"}
	without := "Leave the ornament out: the main notes in time"
	if p.OtherPlays() {
		without += ", alone and then with the other hand"
	}
	l.Steps = []string{without + ".", ornamentAlone(d)}
	if d.OtherHand > 0 {
		l.Together = len(l.Steps)
		l.Steps = append(l.Steps, fmt.Sprintf("With the %s, which strikes %s meanwhile: settle slowly which note falls with which.", (1-p.Spot.Hand).Name(), detect.Times(d.OtherHand)))
	}
	return l
}

// ornamentAlone is the notes of an ornament by themselves.
func ornamentAlone(d Detail) string {
	written := detect.FirstOf(detect.AllPretty(d.WrittenOut), 8)
	switch {
	case d.BeforeBeat.Sign() > 0:
		return fmt.Sprintf("The grace notes alone, %s, in one movement; the last is the goal, and it falls on the beat.", written)
	case d.Notes > detect.PractisedTogether && len(d.WrittenOut) > detect.PractisedTogether && (strings.HasPrefix(d.Sign, "tr")):
		return fmt.Sprintf("Alone: %s. First %s notes and stop, then two more each time, always ending on the main note, until all %s fit.", written, detect.NumberWords(detect.PractisedTogether), detect.NumberWords(d.Notes))
	}
	return fmt.Sprintf("Written out, slowly and evenly: %s; then quicker, until all %s fit.", written, detect.NumberWords(d.Notes))
}
