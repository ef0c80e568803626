// Package record writes down what was asked and answered, one JSON object a line,
// so that a complaint can be reproduced and a set-up be tried on boards that were
// really sawn. It is off unless it is asked for: what it writes is the caller's.
package record

import (
	"bufio"
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
)

// Stdout is the name under which standard output is asked for.
const Stdout = "-"

// Config of a recorder.
type Config struct {
	To     string // a file, which is appended to, or Stdout; empty: nothing is written
	OneIn  int    // writes one board of so many; 0 is 1
	Log    *zap.Logger
	Metric prometheus.Registerer
	Now    func() time.Time
}

// waiting is how many boards may wait to be written. A disk that cannot keep up
// must not hold up a saw: what is more is dropped, and counted.
const waiting = 256

// Recorder writes boards down. Its methods may be called by any number of
// goroutines.
type Recorder struct {
	cfg     Config
	seen    atomic.Uint64
	lines   chan line
	done    chan struct{}
	closing sync.RWMutex // held for reading while a board is handed over
	closed  bool
	out     io.WriteCloser
	boards  *prometheus.CounterVec
}

type line struct {
	at     time.Time
	asked  *ripwrightv1.SolveBoardRequest
	answer *ripwrightv1.SolveBoardResponse
}

// Open opens what is written to. It gives nil where nothing is.
func Open(cfg Config) (*Recorder, error) {
	if cfg.To == "" {
		return nil, nil
	}
	r := &Recorder{cfg: cfg, lines: make(chan line, waiting), done: make(chan struct{}), out: os.Stdout}
	if cfg.To != Stdout {
		f, err := os.OpenFile(cfg.To, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
		if err != nil {
			return nil, fmt.Errorf("record: %w", err)
		}
		r.out = f
	}
	r.boards = prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ripwright_boards_recorded_total",
		Help: "Boards that were to be written down, by outcome: written, dropped because too many waited, or failed."}, []string{"outcome"})
	if err := cfg.Metric.Register(r.boards); err != nil {
		return nil, err
	}
	go r.write()
	return r, nil
}

// Wants reports whether the next board is to be written down: the first of each
// OneIn.
func (r *Recorder) Wants() bool {
	return (r.seen.Add(1)-1)%uint64(max(r.cfg.OneIn, 1)) == 0
}

// Board has a board written down. Neither message may be changed any more.
func (r *Recorder) Board(asked *ripwrightv1.SolveBoardRequest, answer *ripwrightv1.SolveBoardResponse) {
	r.closing.RLock()
	defer r.closing.RUnlock()
	if r.closed { // a call that was cut off goes on for a moment
		r.boards.WithLabelValues("dropped").Inc()
		return
	}
	select {
	case r.lines <- line{r.cfg.Now(), asked, answer}:
	default:
		r.boards.WithLabelValues("dropped").Inc()
	}
}

// Close writes what waits and closes the file. What comes later is dropped. It may
// be called more than once.
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
	w := bufio.NewWriter(r.out)
	waits := 0.0 // boards in w
	flush := func(err error) {
		if err == nil {
			err = w.Flush()
		}
		outcome := "written"
		if err != nil {
			outcome = "failed"
			r.cfg.Log.Error("boards could not be written down", zap.Error(err))
			w.Reset(r.out) // a writer that failed once fails for ever
		}
		r.boards.WithLabelValues(outcome).Add(waits)
		waits = 0
	}
	for l := range r.lines {
		text, err := encode(l)
		if err == nil {
			_, err = w.Write(text)
		}
		waits++
		if err != nil || len(r.lines) == 0 {
			flush(err)
		}
	}
	flush(nil)
	if r.cfg.To != Stdout {
		if err := r.out.Close(); err != nil {
			r.cfg.Log.Error("the recording could not be closed", zap.Error(err))
		}
	}
}

func encode(l line) ([]byte, error) {
	opts := protojson.MarshalOptions{UseProtoNames: true}
	var parts [2][]byte
	for i, m := range []proto.Message{l.asked, l.answer} {
		text, err := opts.Marshal(m)
		if err != nil {
			return nil, err
		}
		parts[i] = text
	}
	return fmt.Appendf(nil, `{"time":%q,"request":%s,"response":%s}`+"\n",
		l.at.UTC().Format(time.RFC3339Nano), parts[0], parts[1]), nil
}
