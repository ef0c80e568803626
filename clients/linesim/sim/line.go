package sim

import (
	"context"
	"fmt"
	"math/rand/v2"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Config of a simulated line.
type Config struct {
	Seed   uint64
	Boards int
	SetUp  *ripwrightv1.LineSetUp
	Every  time.Duration // between boards; 0: as fast as answers come
	Within time.Duration // each answer has to come; 0: no limit
	// Breaks is how likely the line breaks its stream after a message that it
	// sent, 0 to 1.
	Breaks float64
	// Dial connects, at the beginning and after each break. What it returns beside
	// the client closes the connection.
	Dial func(context.Context) (ripwrightv1.RipServiceClient, func(), error)
	// Broke is told of each break on purpose, before the stream is given up. Nil:
	// nothing else breaks.
	Broke func()
	// Patience is how long the service may be out of reach.
	Patience time.Duration
	// Silence is how long an answer may be due before the line gives its stream up
	// and goes on with another one; twice as long after each that brought nothing,
	// up to 16 times, so that a busy service is not kept busy with what nobody
	// waits for. 0: until the stream ends by itself.
	Silence time.Duration
	// Insist sends boards again that were refused for want of time or room, as
	// boards of their own.
	Insist bool
	// Saw that SetUp names; nil: it has it written out.
	Saw *ripwrightv1.Saw
	// Heard is told of each message and its answer, once. Nil: nobody is.
	Heard func(*ripwrightv1.RunLineRequest, *ripwrightv1.RunLineResponse)
	// Ended is told why each stream but the last one ended. Nil: nobody is.
	Ended func(error)
}

// Run simulates a line until its run ends. The error says that the line could not
// go on; what the service did wrong stands in the report.
func Run(ctx context.Context, cfg Config) (*Report, error) { return newLine(cfg).run(ctx) }

func newLine(cfg Config) *line {
	if cfg.Saw == nil {
		cfg.Saw = cfg.SetUp.GetSaw()
	}
	l := &line{cfg: cfg, report: &Report{}, book: newBook(), rng: rand.New(rand.NewPCG(cfg.Seed, 1<<32)),
		chaos: rand.New(rand.NewPCG(cfg.Seed, 1<<33)), control: Controller{Saw: cfg.Saw, Start: cfg.SetUp.GetCurrentSetting()},
		plans: map[int32]*ripwrightv1.LinePlan{}}
	l.queue(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: cfg.SetUp}})
	return l
}

func (l *line) run(ctx context.Context) (*Report, error) {
	began := time.Now()
	heard := began
	l.silence = l.cfg.Silence
	for {
		before := l.answered
		err := l.stream(ctx)
		if l.done {
			l.report.Took = time.Since(began)
			return l.report, nil
		}
		if l.answered > before {
			heard, l.silence = time.Now(), l.cfg.Silence
		} else {
			l.silence = min(2*l.silence, 16*l.cfg.Silence)
		}
		if l.cfg.Ended != nil {
			l.cfg.Ended(err)
		}
		switch status.Code(err) {
		case codes.Unavailable, codes.Canceled:
		case codes.ResourceExhausted: // too many calls at the moment
			if !l.cfg.Insist {
				return l.report, err
			}
		default:
			return l.report, err
		}
		if ctx.Err() != nil || time.Since(heard) > l.cfg.Patience {
			return l.report, fmt.Errorf("out of reach: %w", err)
		}
		l.report.Streams++
		time.Sleep(5 * time.Millisecond)
	}
}

// line is the client's side of a run: every message in order, how many of them
// were answered, and the state to go on with.
type line struct {
	cfg     Config
	report  *Report
	book    *book
	control Controller
	rng     *rand.Rand // what becomes of boards
	chaos   *rand.Rand // where the stream breaks

	log      []*sent
	answered int32 // sequence of the last message that was
	state    []byte
	values   *ripwrightv1.ValuesInForce      // of the last answer
	plans    map[int32]*ripwrightv1.LinePlan // that wait for confirmation, by sequence
	waiting  []int32                         // the same in order
	boards   int                             // that were queued
	again    []*sent                         // boards that are to be sent once more
	againAt  time.Time                       // not before this
	nextAt   time.Time
	silence  time.Duration // as Config.Silence, for the stream that is open
	done     bool
}

// sent is a message, when it was sent first, and whether it was sent again since.
type sent struct {
	*ripwrightv1.RunLineRequest
	at    time.Time
	again bool
}

func (l *line) queue(m *ripwrightv1.RunLineRequest) {
	m.Sequence = int32(len(l.log)) + 1
	l.log = append(l.log, &sent{RunLineRequest: m})
}

// insistAfter is how long a board waits before it is sent once more.
const insistAfter = 20 * time.Millisecond

// Ends of streams that the line gives up.
var (
	errBroken = status.Error(codes.Canceled, "broken on purpose")
	errSilent = status.Error(codes.Canceled, "no answer came")
)

// receive hands on the answers of a stream until it ends.
func receive(ctx context.Context, s ripwrightv1.RipService_RunLineClient, opened *atomic.Bool) (<-chan *ripwrightv1.RunLineResponse, <-chan error) {
	answers := make(chan *ripwrightv1.RunLineResponse, 128)
	ended := make(chan error, 1)
	go func() {
		for {
			a, err := s.Recv()
			if err != nil {
				ended <- err
				return
			}
			opened.Store(true)
			select {
			case answers <- a:
			case <-ctx.Done():
				ended <- ctx.Err()
				return
			}
		}
	}()
	return answers, ended
}

// resume sends the state and checks that the run stands where it stood.
func (l *line) resume(s ripwrightv1.RipService_RunLineClient, answers <-chan *ripwrightv1.RunLineResponse, ended <-chan error) error {
	if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
		Resume: &ripwrightv1.LineResume{State: l.state}}}); err != nil {
		return <-ended
	}
	select {
	case a := <-answers:
		if a.GetSequence() != l.answered || a.GetResumed() == nil || len(a.GetResumed().GetReady().GetUnconfirmed()) != l.unconfirmed() {
			return fmt.Errorf("resumed at %d with %d boards, want %d with %d", a.GetSequence(),
				len(a.GetResumed().GetReady().GetUnconfirmed()), l.answered, l.unconfirmed())
		}
		if !proto.Equal(a.GetValues(), l.values) {
			return fmt.Errorf("resumed with the values %v, want %v", a.GetValues(), l.values)
		}
		return nil
	case err := <-ended:
		return err
	}
}

// send sends what is due from message *next on, and notes in quiet when the first that
// is not answered left.
func (l *line) send(s ripwrightv1.RipService_RunLineClient, ended <-chan error, next *int32, quiet *time.Time) error {
	for int(*next) < len(l.log) || l.more() {
		m := l.log[*next]
		if *next == l.answered {
			*quiet = time.Now()
		}
		m.again = m.again || !m.at.IsZero()
		if m.at.IsZero() {
			m.at = time.Now()
		}
		*next++
		if err := s.Send(m.RunLineRequest); err != nil {
			return <-ended
		}
		if l.chaos.Float64() < l.cfg.Breaks {
			l.report.Breaks++
			if l.cfg.Broke != nil {
				l.cfg.Broke()
			}
			return errBroken
		}
	}
	return nil
}

// stream goes on with the run on one stream until that ends.
func (l *line) stream(ctx context.Context) error {
	client, hangUp, err := l.cfg.Dial(ctx)
	if err != nil {
		return err
	}
	defer hangUp()
	var opened atomic.Bool // an answer has come
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	if l.silence > 0 { // a replica that hangs does not even take the call
		defer time.AfterFunc(l.silence, func() {
			if !opened.Load() {
				cancel()
			}
		}).Stop()
	}
	s, err := client.RunLine(ctx)
	if err != nil {
		return err
	}
	answers, ended := receive(ctx, s, &opened)
	next := l.answered // index of the message to send next
	if l.state != nil {
		if err := l.resume(s, answers, ended); err != nil {
			return err
		}
	}
	quiet := time.Now() // since when nothing came that was due
	for {
		if err := l.send(s, ended, &next, &quiet); err != nil {
			return err
		}
		var tick <-chan time.Time
		if l.cfg.Every > 0 || len(l.again) > 0 {
			tick = time.After(max(min(time.Until(l.nextAt), insistAfter), time.Millisecond))
		}
		var silent <-chan time.Time
		if l.silence > 0 && next > l.answered {
			silent = time.After(time.Until(quiet.Add(l.silence)))
		}
		select {
		case <-silent:
			return errSilent
		case a := <-answers:
			quiet = time.Now()
			if err := l.heed(a); err != nil {
				return err
			}
			if l.done {
				return nil
			}
		case err := <-ended:
			// What came before the end still counts.
			for len(answers) > 0 {
				if err := l.heed(<-answers); err != nil {
					return err
				}
			}
			return err
		case <-tick:
		}
	}
}
