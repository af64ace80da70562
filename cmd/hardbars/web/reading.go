package web

import (
	"context"
	"errors"
	"os"
	"slices"
	"sync"
	"time"

	"hardbars/annotate/progress"
	"hardbars/annotate/remarks"
	"hardbars/cmd/hardbars/beside"
	"hardbars/cmd/hardbars/piece"
	"hardbars/detect"
	"hardbars/score"
	"hardbars/score/form"
	"hardbars/score/musicxml"
	"hardbars/score/notation"
)

// reading is a score as it was read. Nothing in it changes.
type reading struct {
	written *score.Score // as it was read, the hands not yet decided
	score   *score.Score
	music   *notation.Score
	form    *form.Form
}

// read reads a score file; name is what messages call it.
func read(path, name string) (*reading, error) {
	f, err := readFile(path, name)
	if err != nil {
		return nil, err
	}
	p, err := piece.Open(f, "")
	if err != nil {
		return nil, err
	}
	music, err := p.Music()
	if err != nil {
		return nil, err
	}
	return &reading{written: p.Written, score: p.Written, music: music}, nil
}

// played is the reading with every note given to the hand of a player that plays
// it. Remarks on hands that fit no note are told of where the remarks are shown.
func (r *reading) played(player detect.Player, page *remarks.Page) *reading {
	s, _ := piece.Hands(r.written, player, page)
	return &reading{written: r.written, score: s, music: r.music, form: form.Find(s)}
}

func readFile(path, name string) (*musicxml.File, error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return musicxml.Read(in, name)
}

// WorkThrough reads and analyses a score as the page does, for the player and a
// piece's settings, and says what cannot be done.
func WorkThrough(path, name string, settings Settings, player func() (detect.Player, error)) error {
	who, err := player()
	if err != nil {
		return err
	}
	if who, err = settings.player(who); err != nil {
		return err
	}
	return guardedly(func() error {
		r, err := read(path, name)
		if err != nil {
			return err
		}
		piece.Analyze(r.played(who, &remarks.Page{}).score, who)
		return nil
	})
}

// maxKept is how many notes the scores may have together that are kept as they
// were read, so that a change is seen at once. A note with all that is found
// out about it takes some three kilobytes.
const maxKept = 150_000

// kept are the readings of the pieces used last, the latest first.
type kept struct {
	mu       sync.Mutex
	readings []keptReading
}

type keptReading struct {
	id string
	*reading
	player string // who the report is for, as piece.json and the profile say, and what the remarks give to which hand
	report *detect.Report
}

// get looks up a piece.
func (k *kept) get(id string) (keptReading, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	i := slices.IndexFunc(k.readings, func(r keptReading) bool { return r.id == id })
	if i < 0 {
		return keptReading{}, false
	}
	return k.readings[i], true
}

// put keeps a reading in front, and lets the one go that was used longest ago.
func (k *kept) put(r keptReading) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.readings = slices.DeleteFunc(k.readings, func(other keptReading) bool { return other.id == r.id })
	k.readings = slices.Insert(k.readings, 0, r)
	notes := 0
	for i, r := range k.readings {
		if notes += len(r.score.Notes); notes > maxKept && i > 0 {
			k.readings = k.readings[:i]
			return
		}
	}
}

// study is a piece with all that a page tells about it.
type study struct {
	piece   *Piece
	path    string // of the score
	today   time.Time
	general Settings // for all pieces
	*reading
	said    *remarks.Remarks
	misread error          // why there are no remarks although there is a file
	whole   *detect.Report // with what the remarks add and skip, quiet places too
	report  *detect.Report // the same without quiet places, as the sheet has it
	log     *progress.Log
}

// study reads a piece, for the player of the profile and its own settings.
func (s *Server) study(ctx context.Context, id string) (*study, error) {
	p, err := s.shelf.piece(id)
	if err != nil {
		return nil, err
	}
	player, err := s.player()
	if err != nil {
		return nil, err
	}
	if player, err = p.Settings.player(player); err != nil {
		return nil, err
	}
	at, err := s.analyse(ctx, p, player)
	if err != nil {
		return nil, err
	}
	general, err := s.general()
	if err != nil {
		return nil, err
	}
	st := &study{piece: p, path: s.shelf.file(p), today: s.now(), general: general, reading: at.reading}
	return st, st.readBeside(at.report)
}

// analyse finds what is hard in a piece, or looks it up.
func (s *Server) analyse(ctx context.Context, p *Piece, player detect.Player) (at keptReading, err error) {
	who, err := player.MarshalJSON()
	if err != nil {
		return at, err
	}
	at, ok := s.kept.get(p.ID)
	page, err := piece.Page(piece.RemarksName(s.shelf.file(p)), false)
	if err != nil {
		page = &remarks.Page{} // told of where the remarks are shown
	}
	key := string(who) + page.Hands()
	if ok && at.player == key {
		s.kept.put(at)
		return at, nil
	}
	work := s.queue.start(p.ID+key, p.Called(), func(ctx context.Context) error {
		next := keptReading{id: p.ID, reading: at.reading, player: key}
		if err := s.tried(ctx, s.shelf.file(p), p.Name, p.Settings); err != nil {
			return err
		}
		if next.reading == nil {
			var err error
			if next.reading, err = read(s.shelf.file(p), p.Name); err != nil {
				return err
			}
		}
		next.reading = next.reading.played(player, page)
		next.report = piece.Analyze(next.score, player)
		s.kept.put(next)
		return nil
	})
	if ctx.Value(hurried{}) != nil {
		soon, cancel := context.WithTimeout(ctx, patience)
		defer cancel()
		ctx = soon
	}
	if err := work.wait(ctx); errors.Is(err, errBusy) && ctx.Value(hurried{}) != nil {
		return at, notYet{p, work}
	} else if err != nil {
		return at, err
	}
	if at, ok = s.kept.get(p.ID); !ok || at.player != key {
		return at, errBusy // so much was read meanwhile that this had to make room
	}
	return at, nil
}

// tried tells why a score cannot be worked through.
func (s *Server) tried(ctx context.Context, path, name string, settings Settings) error {
	if s.try == nil {
		return nil
	}
	return s.try(ctx, path, name, settings)
}

// readBeside reads the remarks and the log that stand beside the score. Remarks
// that cannot be understood are left out and told of: the piece is still shown.
func (st *study) readBeside(r *detect.Report) error {
	st.said, st.misread = readRemarks(st.remarksPath(), r)
	if st.misread != nil {
		st.said, _ = (&remarks.Page{}).On(r) // an empty page says nothing that could be wrong
	}
	st.whole = st.said.Report
	st.report = st.whole.WithoutQuiet()
	var err error
	st.log, _, err = beside.ReadLog(st.logPath())
	return err
}

// readRemarks puts the remarks of a file, if it is there, at the bars of a report.
func readRemarks(path string, r *detect.Report) (*remarks.Remarks, error) {
	page, err := piece.Page(path, false)
	if err != nil {
		return nil, err
	}
	said, err := page.On(r)
	if err != nil {
		return nil, beside.InFile(path, err)
	}
	return said, nil
}

func (st *study) remarksPath() string { return piece.RemarksName(st.path) }
func (st *study) logPath() string     { return piece.LogName(st.path) }
