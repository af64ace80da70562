package web

import (
	"context"
	"errors"
	"fmt"
	"log"
	"net/http"
	"runtime/debug"
	"slices"
	"strconv"
	"sync"
	"time"
)

// queue does what takes time and memory, so much of it at once and no more, the
// rest in the order in which it came. Pages of pieces that are read already do
// not come here.
type queue struct {
	atOnce  int
	longest time.Duration // that a job may run

	mu      sync.Mutex
	number  int    // of the latest job
	jobs    []*job // those that run first, then those that wait, in order
	running int
}

// job is one thing in the queue.
type job struct {
	number int
	key    string // what it is about; no two of one key are in the queue
	what   string // for the player: "waltz.musicxml"
	do     func(context.Context) error
	ctx    context.Context
	stop   context.CancelCauseFunc
	began  time.Time // zero while it waits
	done   chan struct{}
	err    error // once done is closed
}

var (
	errStopped = errors.New("stopped, as you asked; nothing was changed")
	errLong    = errors.New("this took longer than a score should, and was given up; nothing was changed")
	errBusy    = errors.New("this is still being read; it goes on, and the page of your pieces shows how far it is")
)

// start puts a job into the queue, or finds the one that is there for the key.
func (q *queue) start(key, what string, do func(context.Context) error) *job {
	q.mu.Lock()
	defer q.mu.Unlock()
	if i := slices.IndexFunc(q.jobs, func(j *job) bool { return j.key == key }); i >= 0 {
		return q.jobs[i]
	}
	q.number++
	j := &job{number: q.number, key: key, what: what, do: do, done: make(chan struct{})}
	j.ctx, j.stop = context.WithCancelCause(context.Background())
	q.jobs = append(q.jobs, j)
	q.next()
	return j
}

// next lets those run that have room. The caller holds mu.
func (q *queue) next() {
	for _, j := range q.jobs {
		if q.running == q.atOnce {
			return
		}
		if !j.began.IsZero() {
			continue
		}
		j.began = time.Now()
		q.running++
		go q.run(j)
	}
}

// run does a job and ends it: in time, or when it is stopped.
func (q *queue) run(j *job) {
	ctx, cancel := context.WithTimeoutCause(j.ctx, q.longest, errLong)
	defer cancel()
	err := j.ctx.Err()
	if err == nil {
		err = guardedly(func() error { return j.do(ctx) })
	}
	if cause := context.Cause(ctx); cause != nil && err != nil {
		err = cause
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	q.running--
	q.leave(j, err)
	q.next()
}

// leave takes a job out. The caller holds mu.
func (q *queue) leave(j *job, err error) {
	j.err = err
	q.jobs = slices.DeleteFunc(q.jobs, func(other *job) bool { return other == j })
	close(j.done)
}

// guardedly does something; a panic in it is an error.
func guardedly(do func() error) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			log.Printf("%v\n%s", fault, debug.Stack())
			err = errOwnFault
		}
	}()
	return do()
}

// cancel ends a job, waiting or running.
func (q *queue) cancel(number int) bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	i := slices.IndexFunc(q.jobs, func(j *job) bool { return j.number == number })
	if i < 0 {
		return false
	}
	j := q.jobs[i]
	j.stop(errStopped)
	if j.began.IsZero() {
		q.leave(j, errStopped)
	}
	return true
}

// wait waits for a job, for as long as a request has.
func (j *job) wait(ctx context.Context) error {
	select {
	case <-j.done:
		return j.err
	case <-ctx.Done():
		return errBusy
	}
}

// jobView is a job for the player.
type jobView struct {
	Number int
	What   string
	How    string // "is being read, 12 seconds so far", "third in the queue"
}

// list is what the queue holds.
func (q *queue) list() []jobView {
	q.mu.Lock()
	defer q.mu.Unlock()
	var all []jobView
	waits := 0
	for _, j := range q.jobs {
		v := jobView{Number: j.number, What: j.what}
		if j.began.IsZero() {
			waits++
			v.How = fmt.Sprintf("waits, number %d in the queue", waits)
		} else {
			v.How = fmt.Sprintf("is being read, %d seconds so far", int(time.Since(j.began).Seconds()))
		}
		all = append(all, v)
	}
	return all
}

// showQueue shows what is being read.
func (s *Server) showQueue(w http.ResponseWriter, r *http.Request) error {
	s.show(w, r, http.StatusOK, "queue", frame{Title: "Being read"}, s.queue.list())
	return nil
}

// cancelJob ends what takes too long for the player.
func (s *Server) cancelJob(w http.ResponseWriter, r *http.Request) error {
	number, err := strconv.Atoi(r.PathValue("number"))
	if err != nil || !s.queue.cancel(number) {
		return status(http.StatusConflict, errors.New("this is not being read any more"))
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// notYet is told where a page would have to wait for its piece.
type notYet struct {
	piece *Piece
	job   *job
}

func (notYet) Error() string { return errBusy.Error() }

// patience is how long a page waits before it says what it waits for.
const patience = 1500 * time.Millisecond

// showWaiting shows the queue in place of a page, which comes as soon as it can.
func (s *Server) showWaiting(w http.ResponseWriter, r *http.Request, n notYet) {
	w.Header().Set("Refresh", "1")
	s.show(w, r, http.StatusAccepted, "waiting", frame{Title: n.piece.Called(), Piece: n.piece}, struct {
		Piece *Piece
		Jobs  []jobView
	}{n.piece, s.queue.list()})
}
