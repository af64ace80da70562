package drill

import (
	"testing"

	"hardbars/annotate/engrave"
	"hardbars/detect"
	"hardbars/detect/kinds"
	"hardbars/score"
)

// What is written anew can be shown: every book is set, with the words to say
// beneath the notes.
func TestBooksAreSet(t *testing.T) {
	said := 0
	eachScore(t, func(t *testing.T, s *score.Score) {
		r := detect.Analyze(s, detect.DefaultPlayer(), kinds.All)
		for _, spot := range Book(r) {
			music := Music(r, []*detect.Spot{spot})
			d, err := engrave.Set(music, engrave.Options{To: music.Bars[len(music.Bars)-1].End(), Width: 180})
			if err != nil {
				t.Fatal(err)
			}
			words := map[string]bool{}
			for _, item := range d.Items {
				words[item.Text] = true
			}
			for _, c := range music.Chords {
				for _, text := range c.Lyrics {
					said++
					if text != "" && !words[text] {
						t.Errorf("spot %s: %q is to be said and not shown", spot.ID, text)
					}
				}
			}
		}
	})
	if said == 0 {
		t.Error("no drill has words to say")
	}
}
