package pages

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/beevik/etree"

	"hardbars/annotate/engrave"
	"hardbars/detect"
	"hardbars/detect/hand"
	"hardbars/detect/kinds"
	"hardbars/score"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
)

func read(t testing.TB, name string) (*notation.Score, *detect.Report) {
	t.Helper()
	return analyzed(t, "../../testdata/"+name+".musicxml")
}

func analyzed(t testing.TB, path string) (*notation.Score, *detect.Report) {
	t.Helper()
	f, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	n, err := f.Notation(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Score(musicxml.Options{})
	if err != nil {
		t.Fatal(err)
	}
	player := detect.DefaultPlayer()
	return n, detect.Analyze(hand.Assign(s, player.Hands(), nil), player, kinds.All)
}

// Every bar stands once and in order, on A4 and Letter, with marks and without,
// and nothing reaches beyond the page's margins.
func TestPages(t *testing.T) {
	for _, name := range []string{"lantern-barcarolle", "leap", "ornament"} {
		n, r := read(t, name)
		for paperName, paper := range papers {
			for _, plain := range []bool{false, true} {
				all := lay(n, r, paper, Options{Plain: plain, Page: func(order int) int { return order }})
				var at score.Rat
				for i, page := range all {
					bottom := margin
					for k, b := range page {
						if b.y < bottom {
							t.Errorf("%s, %s: block %d of page %d begins at %.1f, over what ends at %.1f", name, paperName, k, i+1, b.y, bottom)
						}
						if bottom = b.y + b.height; bottom > paper.height-footMargin+1e-6 {
							t.Errorf("%s, %s: page %d reaches to %.1f", name, paperName, i+1, bottom)
						}
						if i == 0 && k == 0 {
							continue // the heading
						}
						if !at.Less(b.to) {
							t.Errorf("%s, %s: music to %s follows music to %s", name, paperName, b.to, at)
						}
						at = b.to
					}
				}
				if end := n.Bars[len(n.Bars)-1].End(); at != end {
					t.Errorf("%s, %s: the music ends at %s, not at %s", name, paperName, at, end)
				}
			}
		}
	}
}

// Every bar is on one system; all systems but a short last one are as wide as
// the page; each passage has its number once and on its own bars, and a bracket
// over each system that it goes through.
func TestSystems(t *testing.T) {
	n, r := read(t, "lantern-barcarolle")
	const width = 180.0
	d := stretches(n, engrave.Options{Width: width, Space: staffSpace}, 0, len(n.Bars)-1)[0].drawing
	bar, numbers, see := 0, map[string]int{}, map[string]int{}
	for i := range d.Systems {
		part := d.System(i)
		bars := part.Systems[0].Bars
		for _, b := range bars {
			if b.Index != bar {
				t.Errorf("system %d has bar %d, not %d", i, b.Index, bar)
			}
			bar++
		}
		if right := bars[len(bars)-1].Right; i+1 < len(d.Systems) && math.Abs(right-width) > 0.5 {
			t.Errorf("system %d ends at %.1f of %.1f mm", i, right, width)
		}
		before := len(part.Items)
		mark(part, r, func(order int) int { return 100 + order })
		for _, it := range part.Items[before:] {
			if it.Text != "" && it.Face == numberFace {
				numbers[it.Text]++
			}
			see[it.Text]++
			if it.Box.Left < 0 || it.Box.Right > width+1e-6 {
				t.Errorf("system %d: a mark from %.1f to %.1f", i, it.Box.Left, it.Box.Right)
			}
			for k, other := range part.Items[:before] {
				if it.Box.Meets(other.Box) {
					t.Errorf("system %d: a mark lies on item %d, %s", i, k, other.Role)
				}
			}
		}
	}
	if bar != len(n.Bars) {
		t.Errorf("%d of %d bars", bar, len(n.Bars))
	}
	for i := range r.Passages {
		if p := &r.Passages[i]; p.Shortlist && numbers[fmt.Sprint(p.Order)] != 1 {
			t.Errorf("passage %d is numbered %d times", p.Order, numbers[fmt.Sprint(p.Order)])
		}
		if p := &r.Passages[i]; p.Shortlist && see[fmt.Sprintf("see page %d", 100+p.Order)] != 1 {
			t.Errorf("passage %d is not told to be on page %d", p.Order, 100+p.Order)
		}
	}
}

// Worked by hand: six blocks, four to a page, and only after the third is a
// hand free: the page is turned there. With no hand free anywhere the first page
// is full.
func TestTurns(t *testing.T) {
	blocks := make([]block, 6)
	for i := range blocks {
		blocks[i] = block{height: 40, to: score.Int(int64(i + 1))}
	}
	room := 4*40 + 3*leastGap
	head := block{height: -leastGap} // no room
	for _, tt := range []struct {
		free func(block) float64
		want []int
	}{
		{func(b block) float64 { return map[score.Rat]float64{score.Int(3): turnSeconds}[b.to] }, []int{3, 3}},
		{func(block) float64 { return 0 }, []int{4, 2}},
		{func(block) float64 { return turnSeconds }, []int{4, 2}},
	} {
		var got []int
		for i, page := range fill(head, blocks, room, tt.free) {
			if i == 0 {
				page = page[1:]
			}
			got = append(got, len(page))
		}
		if !slices.Equal(got, tt.want) {
			t.Errorf("blocks on pages: %v, not %v", got, tt.want)
		}
	}
}

// Worked by hand: at 60 quarters a minute the right hand rests from 1 to 4, the left
// from 3 to 4; at 3 the page can be turned for three seconds, at 4.5 not at all.
func TestFreeHand(t *testing.T) {
	s := &score.Score{Tempos: []score.Tempo{{QPM: 60, Beat: score.Int(1)}}, Bars: []score.Bar{{Length: score.Int(8)}}}
	for _, n := range []struct {
		hand     score.Hand
		from, to int64
	}{{score.Right, 0, 1}, {score.Left, 0, 3}, {score.Right, 4, 8}, {score.Left, 4, 8}} {
		s.Notes = append(s.Notes, score.Note{Hand: n.hand, Onset: score.Int(n.from), Length: score.Int(n.to - n.from)})
	}
	for at, want := range map[score.Rat]float64{score.Int(3): 3, score.R(9, 2): 0} {
		if got := freeHand(s, at); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %s free for %g s, not %g", at, got, want)
		}
	}
}

// A bar that cannot be set costs itself alone, and is told by its name.
func TestFault(t *testing.T) {
	n, r := read(t, "leap")
	broken := *n
	broken.Chords = slices.Clone(n.Chords)
	for i := range broken.Chords {
		if c := &broken.Chords[i]; c.Bar == 1 {
			c.Staff = 99
			c.Notes = slices.Clone(c.Notes)
			for k := range c.Notes {
				c.Notes[k].Staff = 99
			}
		}
	}
	all := stretches(&broken, engrave.Options{Width: 180}, 0, len(n.Bars)-1)
	var lost []string
	bar := 0
	for _, s := range all {
		if s.first != bar {
			t.Errorf("bar %d follows bar %d", s.first, bar-1)
		}
		bar = s.last + 1
		if s.lost != nil {
			lost = append(lost, fmt.Sprint(s.first, s.last))
		}
	}
	if bar != len(n.Bars) || !slices.Equal(lost, []string{"1 1"}) {
		t.Errorf("%d of %d bars; lost %q", bar, len(n.Bars), lost)
	}
	if err := Write(&bytes.Buffer{}, &broken, r, Options{Paper: "a4"}); err != nil {
		t.Error(err)
	}
}

func TestSameBytes(t *testing.T) {
	n, r := read(t, "lantern-barcarolle")
	var once, again bytes.Buffer
	for _, w := range []*bytes.Buffer{&once, &again} {
		if err := Write(w, n, r, Options{Paper: "letter"}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(once.Bytes(), again.Bytes()) {
		t.Error("made twice, the bytes differ")
	}
	if err := Write(&once, n, r, Options{Paper: "b5"}); err == nil {
		t.Error("a paper that is not known is taken")
	}
}

// The demo fifteen times over, 525 bars, must take less than 1.5 s.
func BenchmarkWrite(b *testing.B) {
	doc := etree.NewDocument()
	if err := doc.ReadFromFile("../../testdata/lantern-barcarolle.musicxml"); err != nil {
		b.Fatal(err)
	}
	part := doc.Root().SelectElement("part")
	for once, i := part.SelectElements("measure"), 1; i < 15; i++ {
		for _, bar := range once {
			part.AddChild(bar.Copy())
		}
	}
	path := filepath.Join(b.TempDir(), "long.musicxml")
	if err := doc.WriteToFile(path); err != nil {
		b.Fatal(err)
	}
	n, r := analyzed(b, path)
	for b.Loop() {
		if err := Write(&bytes.Buffer{}, n, r, Options{Paper: "a4"}); err != nil {
			b.Fatal(err)
		}
	}
}
