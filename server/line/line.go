// Package line serves live lines: a stream that plans boards in order, keeps the books of
// what was really cut, and can be resumed on another replica from the state that its
// client holds.
package line

import (
	"context"
	"errors"
	"io"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
)

// Solver plans one board. Its error is a fault.List, a *withhold.Error or a status.
type Solver interface {
	Live(ctx context.Context, j *wire.Job, received time.Time, within time.Duration) (r *rip.Result, waited, took time.Duration, err error)
}

// Watcher is told of events, for metrics.
type Watcher interface {
	// Settled is told of a caller's confirmed board, once.
	Settled(caller string, s *run.Settled)
	// Stands is told how an order stands; what is made of its items is what has been
	// confirmed.
	Stands(caller string, l *wire.Line, items []order.Item)
	// Refused is told of a board that a line refused.
	Refused(caller string, l *wire.Line, reason ripwrightv1.LineRefusalReason)
	// Answered is told how long a board took from its receipt to its answer.
	Answered(time.Duration)
	// Lines adds to the streams that are open.
	Lines(int)
	// Drifts is told how far the pockets of a saw have drifted; without charts: nobody
	// watches them any more.
	Drifts(caller string, m wire.Mark, charts []drift.Chart)
	// Passed is told of seconds that a line ran or was stopped, Stopped of each stop.
	Passed(caller string, l *wire.Line, seconds float64, stood bool)
	Stopped(caller string, l *wire.Line)
	// ValuesPlanned is told of a planning of a line's values: planned, late, busy or
	// failed, and its duration.
	ValuesPlanned(outcome string, took time.Duration)
	// Panic is told of a recovered panic.
	Panic()
	withhold.Watcher
}

// Recorder records requests and answers.
type Recorder interface {
	// Wants reports whether the next board is to be recorded.
	Wants() bool
	Board(caller string, asked *ripwrightv1.SolveBoardRequest, answer *ripwrightv1.SolveBoardResponse)
}

// Config of the service of lines.
type Config struct {
	Saws   wire.Saws
	Solver Solver
	Watch  Watcher
	Record Recorder // nil: nothing is recorded
	// Room is what open lines hold together; nil: any amount.
	Room *memory.Room
	// Withheld reports plans that fail their check; nil: only Watch is told.
	Withheld *withhold.Desk
	// Planner plans values for lines that ask for it.
	Planner Planner
	// Against are the thresholds for measured strips; the zero value: run.Usual.
	Against run.Thresholds
	Now     func() time.Time
	// Closing is done once streams must end, since the server stops.
	Closing context.Context
}

// Server answers RunLine and ConfirmCut. It may be used by any number of
// goroutines.
type Server struct {
	cfg     Config
	once    *once
	clocks  *clocks
	streams streams
}

// New makes a service.
func New(cfg Config) *Server {
	if cfg.Withheld == nil {
		cfg.Withheld = &withhold.Desk{Log: zap.NewNop(), Watch: cfg.Watch}
	}
	if cfg.Against == (run.Thresholds{}) {
		cfg.Against = run.Usual
	}
	return &Server{cfg: cfg, once: newOnce(remembered), clocks: newClocks(timed)}
}

// errDraining tells a client to continue elsewhere.
var errDraining = refuse.With(codes.Unavailable, ripwrightv1.ErrorReason_ERROR_REASON_STOPPING, "draining; resume with the last state on another replica")

// RunLine implements the call of that name. Boards are answered one after the other: each
// is planned for what those before it have left open. Messages not received yet wait in
// the transport, whose flow control slows the client down.
func (s *Server) RunLine(stream grpc.BidiStreamingServer[ripwrightv1.RunLineRequest, ripwrightv1.RunLineResponse]) error {
	s.cfg.Watch.Lines(1)
	defer s.cfg.Watch.Lines(-1)
	this, ended := s.streams.begin(caller.Of(stream.Context()), s.cfg.Now())
	defer ended()
	in := receive(stream, s.cfg.Now)
	room, done := s.cfg.Room.For(stream.Context())
	defer done()
	var at *session
	defer func() {
		if at != nil {
			at.close()
		}
	}()
	for {
		var m message
		select {
		case <-s.cfg.Closing.Done():
			return errDraining
		case <-stream.Context().Done(): // no more messages may arrive
			return status.FromContextError(stream.Context().Err()).Err()
		case m = <-in:
		}
		switch {
		case errors.Is(m.err, io.EOF):
			return nil // the client holds the state
		case m.err != nil:
			return m.err
		case s.cfg.Closing.Err() != nil:
			return errDraining
		case !room.Take(m.holds):
			return errFull
		}
		answer, err := s.answer(stream, room, this, &at, m)
		m.end(room)
		if err != nil {
			return err
		}
		if answer.GetPlan() != nil {
			s.cfg.Watch.Answered(s.cfg.Now().Sub(m.received))
		}
		if answer.GetSummary() != nil {
			return nil
		}
	}
}

// answer answers a message; the first one opens the session.
func (s *Server) answer(stream grpc.BidiStreamingServer[ripwrightv1.RunLineRequest, ripwrightv1.RunLineResponse], room *memory.Account, this *UnderWay, at **session, m message) (answer *ripwrightv1.RunLineResponse, err error) {
	if *at == nil {
		*at, answer, err = s.open(stream.Context(), room, m.request)
	} else {
		answer, err = (*at).take(stream.Context(), m)
	}
	if err == nil {
		s.streams.answered(this, *at, s.cfg.Now()) // before its client can tell anyone
		err = stream.Send(answer)
		(*at).writing = s.cfg.Now().Sub((*at).known)
	}
	return answer, err
}

// message is one that was received, or the error that ended the stream.
type message struct {
	request  *ripwrightv1.RunLineRequest
	received time.Time
	err      error
	// Of a large message: what it holds, and what to close once it is answered.
	holds int64
	ended chan struct{}
}

// end is called once for each message that is answered.
func (m *message) end(room *memory.Account) {
	room.Give(m.holds)
	if m.ended != nil {
		close(m.ended)
	}
}

// large is the size from which no further message is received until this one is answered:
// most boards are far below it, orders and set-ups may be above.
const large = 64 << 10

// ahead is how many messages are received before their turn, so that their wait is
// measured and counts towards answer_within_ms.
const ahead = 4

// receive receives messages as they arrive. It ends with the stream.
func receive(stream grpc.BidiStreamingServer[ripwrightv1.RunLineRequest, ripwrightv1.RunLineResponse], now func() time.Time) <-chan message {
	in := make(chan message, ahead)
	go func() {
		for {
			m := message{}
			m.request, m.err = stream.Recv()
			m.received = now()
			if size := proto.Size(m.request); size > large {
				m.holds, m.ended = memory.Of(m.request), make(chan struct{})
			}
			select {
			case in <- m:
			case <-stream.Context().Done():
				return
			}
			if m.err != nil {
				return
			}
			if m.ended == nil {
				continue
			}
			select {
			case <-m.ended:
			case <-stream.Context().Done():
				return
			}
		}
	}()
	return in
}
