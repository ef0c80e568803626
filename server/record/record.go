// Package record records requests and answers, one JSON object per line, so that a
// complaint can be reproduced and a set-up tried on boards that were really sawn. It is
// off by default: what it records belongs to the caller.
package record

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
)

// Stdout is the name that stands for standard output.
const Stdout = "-"

// Config of a recorder.
type Config struct {
	File       // Path: a file, which is appended to, or Stdout; empty: nothing is recorded
	OneIn  int // records one board in this many; 0 is 1
	Log    *zap.Logger
	Metric prometheus.Registerer
	Now    func() time.Time
}

// waiting is how many boards may wait to be written. A disk that cannot keep up must not
// hold up a saw: further boards are dropped, and counted. So are boards that would bring
// those waiting above mostHeld bytes, except a single one, which may have any length.
const (
	waiting  = 256
	mostHeld = 24 << 20
)

// Recorder records boards. Its methods may be called by any number of goroutines.
type Recorder struct {
	cfg     Config
	seen    atomic.Uint64
	lines   chan line
	done    chan struct{}
	held    atomic.Int64 // bytes of waiting boards
	closing sync.RWMutex // held for reading while a board is handed over
	closed  bool
	reopen  atomic.Bool
	out     io.WriteCloser
	boards  *prometheus.CounterVec
}

type line struct {
	at       time.Time
	by       string
	asked    proto.Message
	answer   *ripwrightv1.SolveBoardResponse
	withheld *withheld // nil: the answer was sent
	holds    int64     // bytes
}

// withheld names the call whose plan was withheld, and why.
type withheld struct {
	Call        string   `json:"call"`
	Differences []string `json:"differences"`
}

// Open opens the recording. It gives nil if there is none.
func Open(cfg Config) (*Recorder, error) {
	if cfg.Path == "" {
		return nil, nil
	}
	r := &Recorder{cfg: cfg, lines: make(chan line, waiting), done: make(chan struct{}), out: standard{}}
	if cfg.Path != Stdout {
		f := newFile(cfg.File, cfg.Now)
		if err := f.begin(); err != nil {
			return nil, fmt.Errorf("record: %w", err)
		}
		r.out = f
	}
	r.boards = prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ripwright_boards_recorded_total",
		Help: "Boards to be recorded, by outcome: written, dropped (too many were waiting) or failed."}, []string{"outcome"})
	for _, outcome := range []string{"written", "dropped", "failed"} {
		r.boards.WithLabelValues(outcome) // at 0 from the start, otherwise no alert sees the first
	}
	if err := cfg.Metric.Register(r.boards); err != nil {
		return nil, err
	}
	go r.write()
	return r, nil
}

// Wants reports whether the next board is to be recorded: the first of each OneIn.
func (r *Recorder) Wants() bool {
	return (r.seen.Add(1)-1)%uint64(max(r.cfg.OneIn, 1)) == 0
}

// Reopen closes the file before the next board and opens it again under its name, after
// it was moved elsewhere.
func (r *Recorder) Reopen() { r.reopen.Store(true) }

// Board records a board of a caller. Neither message may be changed afterwards.
func (r *Recorder) Board(by string, asked *ripwrightv1.SolveBoardRequest, answer *ripwrightv1.SolveBoardResponse) {
	r.hand(line{at: r.cfg.Now(), by: by, asked: asked, answer: answer})
}

// Withheld records a request whose plan failed its check, whether its turn has come or
// not. It may not be changed afterwards.
func (r *Recorder) Withheld(by, call string, asked proto.Message, differences []string) {
	r.hand(line{at: r.cfg.Now(), by: by, asked: asked, withheld: &withheld{call, differences}})
}

func (r *Recorder) hand(l line) {
	r.closing.RLock()
	defer r.closing.RUnlock()
	if r.closed { // a call that was cut off continues for a moment
		r.boards.WithLabelValues("dropped").Inc()
		return
	}
	l.holds = memory.Of(l.asked) + memory.Of(l.answer)
	if now := r.held.Add(l.holds); now > mostHeld && now > l.holds {
		r.held.Add(-l.holds)
		r.boards.WithLabelValues("dropped").Inc()
		return
	}
	select {
	case r.lines <- l:
	default:
		r.held.Add(-l.holds)
		r.boards.WithLabelValues("dropped").Inc()
	}
}

// Close writes what waits and closes the file. What comes later is dropped. It may be
// called more than once.
func (r *Recorder) Close() {
	r.closing.Lock()
	if !r.closed {
		r.closed = true
		close(r.lines)
	}
	r.closing.Unlock()
	<-r.done
}

func (r *Recorder) write() {
	defer close(r.done)
	var o outage
	for l := range r.lines {
		if r.reopen.Swap(false) {
			if err := r.out.Close(); err != nil {
				r.cfg.Log.Error("the recording could not be reopened", zap.Error(err))
			}
		}
		text, err := encode(l)
		if err == nil {
			_, err = r.out.Write(text)
		}
		r.held.Add(-l.holds)
		outcome := "written"
		if err != nil {
			outcome = "failed"
		}
		r.boards.WithLabelValues(outcome).Inc()
		o.note(r.cfg.Log, err)
		if f, is := r.out.(*file); is && f.aside != nil {
			r.cfg.Log.Error("the recording could not be rotated; the file keeps growing", zap.Error(f.aside))
			f.aside = nil
		}
	}
	if err := r.out.Close(); err != nil {
		r.cfg.Log.Error("the recording could not be closed", zap.Error(err))
	}
}

// outage logs when boards cannot be recorded, and when they can be again: one line each,
// however many boards there are between.
type outage struct{ lost int }

func (o *outage) note(log *zap.Logger, err error) {
	switch {
	case err != nil:
		if o.lost++; o.lost == 1 {
			log.Error("boards cannot be recorded", zap.Error(err))
		}
	case o.lost > 0:
		log.Info("boards are recorded again", zap.Int("lost", o.lost))
		o.lost = 0
	}
}

// standard is standard output, which must stay open.
type standard struct{}

func (standard) Write(p []byte) (int, error) { return os.Stdout.Write(p) }
func (standard) Close() error                { return nil }

// encode gives a record with its newline.
func encode(l line) ([]byte, error) {
	opts := protojson.MarshalOptions{UseProtoNames: true}
	by, err := json.Marshal(l.by) // callers choose their names, which may hold quotes
	if err != nil {
		return nil, err
	}
	asked, err := opts.Marshal(l.asked)
	if err != nil {
		return nil, err
	}
	key, rest := "response", []byte(nil)
	if l.withheld != nil {
		key = "withheld"
		rest, err = json.Marshal(l.withheld)
	} else {
		rest, err = opts.Marshal(l.answer)
	}
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, `{"time":%q,"caller":%s,"request":%s,%q:%s}`+"\n",
		l.at.UTC().Format(time.RFC3339Nano), by, asked, key, rest), nil
}
