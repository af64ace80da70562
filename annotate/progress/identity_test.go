package progress

import (
	"bytes"
	"strings"
	"testing"

	"hardbars/score"
)

func TestIdentity(t *testing.T) {
	id := Identity{12, 15, score.Left, "parallel-thirds"}
	if back, err := ParseIdentity(id.String()); err != nil || back != id || id.String() != "12-15-left-parallel-thirds" {
		t.Errorf("%s is read back as %+v, %v", id, back, err)
	}
	for _, wrong := range []string{"", "3", "15-12-left-leap", "0-3-left-leap", "12-15-foot-leap", "12-15-left-", "12-15-left-../x", "99999999-99999999-left-leap"} {
		if id, err := ParseIdentity(wrong); err == nil {
			t.Errorf("%q was read as %+v", wrong, id)
		}
	}
}

// A place keeps its identity whatever number it has, and is still the same when
// it has grown; another hand, another kind or other bars are another place.
func TestIdentityFindsItsPlace(t *testing.T) {
	r := report(t, lanternPiece())
	sp := crossRhythmIn(t, r, "10")
	id := Of(sp)
	sp.ID = "77"
	if got := id.Spot(r); got != sp {
		t.Errorf("under another number: %+v", got)
	}
	sp.FirstBar--
	if got := id.Spot(r); got != sp {
		t.Errorf("a bar longer: %+v", got)
	}
	for _, other := range []Identity{
		{id.First, id.Last, score.Left, id.Kind}, {id.First, id.Last, id.Hand, "leap"}, {id.First + 4, id.Last + 4, id.Hand, id.Kind},
	} {
		if got := other.Spot(r); got != nil {
			t.Errorf("%s is taken for bars %s", other, r.Bars(got))
		}
	}
}

// Bars practised as a whole count for all that is hard in them.
func TestBarsCountForAllInThem(t *testing.T) {
	r := report(t, lanternPiece())
	e := NewEntry(r, OfBars(8, 10))
	e.Date, e.Tempo = day("2026-03-02"), "quarter = 50"
	p := Make(r, Parse(Append(nil, "", &e)))
	want := 0
	for i := range r.Spots {
		if sp := &r.Spots[i]; !sp.Quiet && sp.Within(8, 10) {
			want++
		}
	}
	if want == 0 || len(p.Found[0].Spots) != want || p.Found[0].How != Exact {
		t.Errorf("counts for %v, want the %d hot spots of bars 9 to 11", p.Found[0].Spots, want)
	}
	if best := p.Known()[crossRhythmIn(t, r, "10").ID].Best; best != 50 {
		t.Errorf("best %g, want 50", best)
	}
}

// What is taken back or changed stays as a comment, and nothing else moves.
func TestReplace(t *testing.T) {
	const a, b = "2026-03-02 | 1 | 7 | right | leap | 52 | 3 min | first", "2026-03-03 | 2 | 8 | left | leap | | | a | b"
	data := []byte("\ufeff" + a + "\r\n# mine\r\n" + a + "\r\nnonsense\r\n" + b)
	log := Parse(data)
	back, err := Replace(data, &log.Entries[1])
	if err != nil || string(back) != "\ufeff"+a+"\r\n# mine\r\n# taken back: "+a+"\r\nnonsense\r\n"+b {
		t.Errorf("%q, %v", back, err)
	}
	changed := log.Entries[2]
	changed.Tempo = "quarter = 60"
	moved := append([]byte("# a line in front\n"), bytes.TrimPrefix(data, []byte("\ufeff"))...)
	with, err := Replace(moved, &log.Entries[2], changed)
	if err != nil || !strings.HasSuffix(string(with), "# changed: "+b+"\n"+changed.String()+"\n") {
		t.Errorf("%q, %v", with, err)
	}
	if got := len(Parse(with).Entries); got != 3 {
		t.Errorf("%d entries", got)
	}
	if _, err := Replace(back, &changed); err == nil {
		t.Error("a line that is not there was taken back")
	}
	first, err := Replace(data, &log.Entries[0])
	if err != nil || !strings.HasPrefix(string(first), "\ufeff# taken back: ") || len(Parse(first).Entries) != 2 {
		t.Errorf("%q, %v", first, err)
	}
}
