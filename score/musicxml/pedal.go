package musicxml

import (
	"slices"
	"sort"
	"strconv"

	"hardbars/score"
)

// foot is what happens to a pedal at one place.
type foot int

const (
	press  foot = iota // go down, afresh where it is down
	hold               // be down, without a new press where it is
	lift               // come up
	change             // come up and go down again
	trail              // the line ends without a lift; it may go on later
	free               // "con pedale": the player chooses
	bound              // "senza pedale"
)

// step is one movement of one pedal.
type step struct {
	at      score.Rat
	bar     int // index into Score.Bars
	kind    score.PedalKind
	foot    foot
	printed bool   // a sign or words, not a <sound>
	either  bool   // a lift that may be meant for the sostenuto pedal
	number  string // tells pedal lines apart
}

// readPedals fills in s.Pedals from signs, words and sounds.
func readPedals(s *score.Score, all []*direction, w *warner) {
	var steps []step
	for _, d := range all {
		steps = append(steps, d.steps()...)
	}
	sort.SliceStable(steps, func(i, j int) bool { return steps[i].at.Less(steps[j].at) })
	steps = withoutEchoes(assign(steps))
	for _, kind := range []score.PedalKind{score.Damper, score.Sostenuto, score.Soft} {
		t := treading{kind: kind, end: s.End(), warner: w}
		own := slices.DeleteFunc(slices.Clone(steps), func(x step) bool { return x.kind != kind })
		for here := range byPlace(own, func(x step) score.Rat { return x.at }) {
			t.pass(here[0].at, here)
		}
		s.Pedals = append(s.Pedals, t.finish()...)
	}
	sort.SliceStable(s.Pedals, func(i, j int) bool { return s.Pedals[i].From.Less(s.Pedals[j].From) })
}

// pedalTypes are the types of <pedal>. All but the two that press belong to
// whichever pedal is down. (MusicXML 4.0, simpleType pedal-type.)
var pedalTypes = map[string]step{
	"start":       {foot: press},
	"sostenuto":   {foot: press, kind: score.Sostenuto},
	"stop":        {foot: lift, either: true},
	"change":      {foot: change, either: true},
	"continue":    {foot: hold, either: true},
	"resume":      {foot: hold, either: true},
	"discontinue": {foot: trail, either: true},
}

// steps is what one direction says about the pedals. What its words or its
// <sound> say about a pedal that it also prints is the same thing again.
func (d *direction) steps() []step {
	var steps []step
	for _, sign := range d.signs {
		x, ok := pedalTypes[sign.SelectAttrValue("type", "")]
		if ok && sign.Tag == "pedal" && !hidden(sign) {
			x.number = sign.SelectAttrValue("number", "")
			steps = append(steps, x)
		}
	}
	words := d.phrase.steps()
	d.read = d.read || len(words) > 0
	steps = appendNew(steps, words)
	for i := range steps {
		steps[i].at, steps[i].printed = d.at, true
	}
	steps = appendNew(steps, d.soundSteps())
	for i := range steps {
		steps[i].bar = d.bar
	}
	return steps
}

// appendNew adds the steps of pedals about which nothing is said yet.
func appendNew(steps, more []step) []step {
	said := steps
	for _, x := range more {
		if !slices.ContainsFunc(said, func(y step) bool { return y.kind == x.kind || y.either }) {
			steps = append(steps, x)
		}
	}
	return steps
}

// soundSteps is what the direction's <sound> says about the pedals: how they
// are, not that they are pressed afresh.
func (d *direction) soundSteps() []step {
	var steps []step
	for kind, name := range []string{"damper-pedal", "sostenuto-pedal", "soft-pedal"} {
		if down, ok := isDown(d.soundAttr(name)); ok {
			x := step{at: d.soundAt, kind: score.PedalKind(kind), foot: lift}
			if down {
				x.foot = hold
			}
			steps = append(steps, x)
		}
	}
	return steps
}

// isDown reads yes, no, or how far the pedal is down from 0 to 100. From half
// way on it counts as down, as MIDI has it for its pedals (64 of 127 and more).
func isDown(text string) (down, ok bool) {
	switch text {
	case "yes", "no":
		return text == "yes", true
	}
	percent, err := strconv.ParseFloat(text, 64)
	return percent >= 50, err == nil
}

// steps reads words about the pedals.
func (p phrase) steps() []step {
	damper := func(f foot) []step { return []step{{foot: f}} }
	soft := func(f foot) []step { return []step{{kind: score.Soft, foot: f}} }
	switch {
	case p.says("una corda", "1 corda", "due corde", "2 corde", "u c"):
		return soft(press)
	case p.says("tre corde", "3 corde", "tutte le corde", "tutte corde", "t c"):
		return soft(lift)
	case p.is("sost", "sost ped", "sost pedal", "sos ped", "s p", "sostenuto ped", "sostenuto pedal", "prol ped"):
		return []step{{kind: score.Sostenuto, foot: press}}
	case p.says("2 ped", "due pedali", "2 pedali", "les deux pedales", "beide pedale", "mit beiden pedalen", "both pedals"):
		return append(damper(free), soft(press)...)
	case p.says("senza ped", "senza pedale", "senza pedali", "ohne pedal", "ohne ped", "sans pedale", "sans ped", "no pedal", "no ped", "without pedal", "con sordini", "con sordino"):
		return damper(bound)
	case p.says("con ped", "con pedale", "col ped", "col pedale", "colla ped", "mit ped", "mit pedal", "avec pedale", "avec ped", "with pedal", "with ped", "poco ped",
		"ped simile", "ped sim", "pedale simile", "sempre ped", "sempre pedale", "ped sempre", "ped ad lib", "ped etc", "pedal freely", "pedale ad libitum"),
		// With raised dampers, that is: so it was said before the pedal had its sign.
		p.says("senza sordini", "senza sordino"):
		return damper(free)
	case p.is("pedale", "pedal") || p.begins("ped") && len(p) <= 3:
		return damper(press)
	case p.is("* ped"):
		return damper(change)
	case p.is("*", "* *"):
		return []step{{foot: lift, either: true}}
	}
	return nil
}

// assign finds the pedal for the steps that may be meant for either: the one
// whose line has the same number, or else the damper, unless the sostenuto
// pedal alone is down.
func assign(steps []step) []step {
	lines := map[string]score.PedalKind{}
	var damper, sostenuto bool
	for i := range steps {
		x := &steps[i]
		if x.either {
			kind, ok := lines[x.number]
			switch {
			case ok:
				x.kind = kind
			case sostenuto && !damper:
				x.kind = score.Sostenuto
			}
		}
		down := x.foot != lift
		switch x.kind {
		case score.Damper:
			damper = down
		case score.Sostenuto:
			sostenuto = down
		}
		if x.foot == press && x.number != "" {
			lines[x.number] = x.kind
		}
	}
	return steps
}

// withoutEchoes leaves out the sounds that repeat, no more than a quarter note
// away, what is printed about the same pedal.
func withoutEchoes(steps []step) []step {
	printed := map[score.PedalKind][]score.Rat{}
	for _, x := range steps {
		if x.printed {
			printed[x.kind] = append(printed[x.kind], x.at)
		}
	}
	return slices.DeleteFunc(steps, func(x step) bool {
		places := printed[x.kind]
		i := sort.Search(len(places), func(i int) bool { return x.at.Cmp(places[i].Add(changeGap)) <= 0 })
		return !x.printed && i < len(places) && places[i].Cmp(x.at.Add(changeGap)) <= 0
	})
}

// changeGap is how long a pedal may be up, in quarters, for it to be a change.
var changeGap = score.Int(1)

// treading follows one pedal through the piece.
type treading struct {
	*warner
	kind   score.PedalKind
	end    score.Rat // of the piece
	pedals []score.Pedal
	down   bool
	lifted bool      // and no new press has come; down is still true
	trails bool      // lifted only in that the line ended
	liftAt score.Rat // of the last lift
	bar    int       // of the last press
}

// pass takes the steps at one place. A lift and a press at one place are a
// change, in whichever order the file has them.
func (t *treading) pass(at score.Rat, steps []step) {
	has := func(f foot) bool { return slices.ContainsFunc(steps, func(x step) bool { return x.foot == f }) }
	bar := steps[0].bar
	switch {
	case has(bound):
		t.up(at)
		t.close()
	case has(change), has(lift) && (has(press) || has(hold)):
		if t.trails {
			t.lifted, t.trails = false, false
		}
		t.press(at, bar)
	case has(press):
		t.press(at, bar)
	case has(hold):
		t.hold(at, bar)
	case has(lift):
		t.up(at)
	case has(trail):
		if t.down && !t.lifted && !t.current().AdLib {
			t.lifted, t.trails, t.liftAt = true, true, at
		}
	}
	if has(free) {
		t.free(at)
	}
}

func (t *treading) current() *score.Pedal { return &t.pedals[len(t.pedals)-1] }

// press puts the pedal down. Where it is down already this is a change: many
// exporters leave out the lift before a new press. The soft pedal has no changes.
func (t *treading) press(at score.Rat, bar int) {
	if t.down && t.current().AdLib {
		t.liftAt = at
		t.close()
	}
	switch {
	case t.down && t.kind == score.Soft && !t.lifted:
	case t.down && !t.lifted:
		if t.current().From != at {
			t.current().Changes = append(t.current().Changes, score.Change{Lift: at, Press: at})
		}
		t.bar = bar
	case t.down && !changeGap.Less(at.Sub(t.liftAt)):
		t.current().Changes = append(t.current().Changes, score.Change{Lift: t.liftAt, Press: at})
		t.lifted, t.trails, t.bar = false, false, bar
	default:
		t.close()
		t.pedals = append(t.pedals, score.Pedal{Kind: t.kind, From: at})
		t.down, t.bar = true, bar
	}
}

// hold keeps the pedal down, and puts it down where it is up.
func (t *treading) hold(at score.Rat, bar int) {
	switch {
	case t.down && t.trails:
		t.lifted, t.trails = false, false
	case !t.down || t.lifted || t.current().AdLib:
		t.press(at, bar)
	}
}

// up lifts the pedal; whether that is for good the next press tells.
func (t *treading) up(at score.Rat) {
	switch {
	case !t.down:
	case t.current().AdLib:
		t.liftAt = at
		t.close()
	case !t.lifted || t.trails:
		t.lifted, t.trails, t.liftAt = true, false, at
	}
}

// close ends the stretch with the pedal down, if there is one.
func (t *treading) close() {
	if !t.down {
		return
	}
	t.current().To = t.liftAt
	if t.current().To.Cmp(t.current().From) <= 0 {
		t.pedals = t.pedals[:len(t.pedals)-1]
	}
	t.down, t.lifted, t.trails = false, false, false
}

// free leaves the pedal to the player until the next sign.
func (t *treading) free(at score.Rat) {
	if t.down && t.current().AdLib {
		return
	}
	if t.down && !t.lifted {
		t.liftAt = at
	}
	t.close()
	t.pedals = append(t.pedals, score.Pedal{Kind: t.kind, From: at, AdLib: true})
	t.down = true
}

// finish ends what is still open. A pedal that is never lifted rings to the end
// of the piece.
func (t *treading) finish() []score.Pedal {
	if t.down && !t.lifted {
		if !t.current().AdLib {
			t.warner.add(t.bar, "the %s pedal goes down and is never lifted; it is taken as held to the end", t.kind)
		}
		t.liftAt = t.end
	}
	t.close()
	return t.pedals
}
