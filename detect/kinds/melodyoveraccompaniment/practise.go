package melodyoveraccompaniment

import (
	"fmt"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	l := detect.Lesson{Proof: "the melody in one line, as if another hand played it"}
	names := detect.FirstOf(detect.AllPretty(d.Melody), 5)
	rest := "what is beside it"
	if d.Double {
		rest = "what is under it"
	}
	loud, soft := d.Dynamic, detect.Softer(d.Dynamic)
	if soft == "" {
		loud, soft = "f", "p"
	}
	l.Steps = []string{
		fmt.Sprintf("The %s line alone, %s, legato, with the fingers that it has in the whole; sing it.", d.Voice, names),
		fmt.Sprintf("The rest alone with its own %s, half as loud as seems right.", detect.ManyWords(d.FingersLeft, "finger", "fingers")),
		fmt.Sprintf("Together: the line sounding, %s only touched, without sound; then the line %s, the rest %s.", rest, loud, soft),
	}
	return l
}
