package softcontrol

import (
	"fmt"
	"strings"

	"hardbars/detect"
)

// practise says how it is practised.
func practise(p *detect.Practice) detect.Lesson {
	d := p.Hardest.Detail.(Detail)
	risk := strings.Join(detect.AllPretty(d.AtRisk), " and ")
	l := detect.Lesson{Proof: fmt.Sprintf("soft, with %s heard and not sticking out", risk)}
	l.Steps = []string{startLevel(p, d, risk), softTouch(p, d, risk)}
	return l
}

// startLevel is how loud to begin: a fade needs room.
func startLevel(p *detect.Practice, d Detail, risk string) string {
	if !d.DyingAway {
		return fmt.Sprintf("First at %s until it is even, then one step softer each time, down to %s, but no softer than lets %s speak.", detect.Louder(d.Dynamic, 2), d.Dynamic, risk)
	}
	written := "no mark stands here"
	if d.Dynamic != "" {
		written = d.Dynamic + " is written"
	}
	return fmt.Sprintf("Find the end first: the softest sound at which the last notes still speak. Then begin at %s (%s), so that there is room to fade, and give way evenly; where a note fails, begin louder.",
		detect.Louder(d.Dynamic, 1), written)
}

// leastTouch is the time, in seconds from key to key, in which a hand can rest
// on a key before it plays. Common practice.
const leastTouch = 0.75

// softTouch is how the hand plays what is at risk.
func softTouch(p *detect.Practice, d Detail, risk string) string {
	switch d.Cause {
	case "repeated figure":
		return fmt.Sprintf("All %s strokes from the surface of the keys: let them up only as far as they need to speak again, %s first of all.", detect.NumberWords(d.Count), risk)
	case "chord":
		return fmt.Sprintf("Touch all %s keys, wait, then press them as one; lean the hand a little to %s, under the weakest finger.", detect.NumberWords(d.Keys), risk)
	case "landing":
		if d.Seconds*p.Target.QPM() < leastTouch*p.Start.QPM() {
			return fmt.Sprintf("Only the jump to %s, slowly: arrive from close above the key, the wrist giving way as the finger goes down; then quicker.", risk)
		}
		return fmt.Sprintf("Slowly: leave early, touch %s, rest on it, and only then press; first without sound.", risk)
	}
	return fmt.Sprintf("Give %s its full length and lift off it without a push; first with a stop before the leap, then with less and less of it.", risk)
}
