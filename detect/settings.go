package detect

import (
	"fmt"
	"math"

	"hardbars/detect/hand"
	"hardbars/score"
)

// Setting is one thing about a player, for the player to read.
type Setting struct {
	Name   string `json:"name"`   // as Set knows it
	Value  string `json:"value"`  // as Set reads it
	Unit   string `json:"unit"`   // of the value; "" where it needs none
	From   string `json:"from"`   // "flag", "profile", "default", or the level that a capacity follows
	Means  string `json:"means"`  // in plain words
	Source string `json:"source"` // of a capacity's figures; "" elsewhere
}

// Settings is everything about a player that can be set, in a fixed order.
func (p Player) Settings() []Setting {
	pedal := "no"
	if p.MiddlePedal {
		pedal = "yes"
	}
	all := append(p.spanSettings(),
		Setting{Name: "level", Value: string(p.Level), From: p.From["level"], Means: levelMeans},
		Setting{Name: "tempo", Value: p.Tempo.String(), From: p.From["tempo"],
			Means: "the tempo you want to reach: a figure such as 66 or eighth=120, or a share of the score's, such as 80%"},
		Setting{Name: "middle-pedal", Value: pedal, From: p.From["middle-pedal"],
			Means: "whether your piano's middle pedal works, so that it holds on to single notes: yes or no"},
	)
	for _, c := range Capacities {
		all = append(all, p.capacitySetting(c))
	}
	return all
}

// levelMeans tells the levels apart. Common practice.
const levelMeans = "how far you have come; it gives every figure below that you do not set yourself. " +
	"elementary: the first years; returning: played once and now come back to it; " +
	"intermediate: plays sonatinas and easier sonatas; advanced: plays concert studies"

// spanSettings is one setting where both hands are alike, otherwise two.
func (p Player) spanSettings() []Setting {
	right, left := p.spanSetting(score.Right), p.spanSetting(score.Left)
	if right.Value == left.Value && right.From == left.From {
		right.Name = "span"
		return []Setting{right}
	}
	return []Setting{right, left}
}

func (p Player) spanSetting(h score.Hand) Setting {
	return Setting{
		Name: "span-" + h.String(), Value: fmt.Sprintf("%g", Round1(p.SpanMM[h])), Unit: "mm", From: p.SpanFrom(h),
		Means: fmt.Sprintf("from thumb tip to little-finger tip at full stretch: reaches %s of white keys, %s in comfort",
			intervalOver(p.Hand(h).Reach()), intervalOver(p.Hand(h).ComfortableReach())),
	}
}

var intervalNames = []string{
	"a single key", "a second", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an octave",
	"a ninth", "a tenth", "an eleventh", "a twelfth", "a thirteenth", "a fourteenth",
}

// intervalOver names the widest interval of white keys whose centres are no
// more than mm apart.
func intervalOver(mm float64) string {
	steps := int(math.Floor(mm/hand.WhiteWidth + 1e-9))
	return intervalNames[min(max(steps, 0), len(intervalNames)-1)]
}

func (p Player) capacitySetting(c *Capacity) Setting {
	from := p.From[c.Name]
	if from == "" {
		from = "level " + string(p.Level)
	}
	return Setting{
		Name: c.Name, Value: fmt.Sprintf("%g", p.Can(c)), Unit: c.Unit, From: from,
		Means: c.Means + ". By level: " + c.Limit().Value, Source: c.Source,
	}
}
