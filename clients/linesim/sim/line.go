package sim

import (
	"context"
	"fmt"
	"math/rand/v2"
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
	Within time.Duration // time limit for each answer; 0: none
	// Breaks is the probability that the line breaks its stream after a message that it
	// sent.
	Breaks float64
	// Shift adds the time to messages, and stops and restarts the line now and then.
	Shift bool
	// Instructs adds operator's instructions to some boards.
	Instructs bool
	// Dial connects, at the beginning and after each break. The function that it returns
	// closes the connection.
	Dial func(context.Context) (ripwrightv1.RipServiceClient, func(), error)
	// Broke is called at each deliberate break, before the stream is given up. Nil: not
	// called.
	Broke func()
	// Patience is how long the service may be unreachable.
	Patience time.Duration
	// Silence is how long an answer may be overdue before the line gives up its stream and
	// continues on another; it doubles after each stream without an answer, up to 16
	// times, so that a busy service is not kept busy with work that is already given up.
	// 0: until the stream ends by itself.
	Silence time.Duration
	// Insist sends boards that were refused for lack of time or room again, as separate
	// boards.
	Insist bool
	// Saw is the saw that SetUp names; nil: SetUp has it in full.
	Saw *ripwrightv1.Saw
	// Heard is called once with each message and its answer. Nil: not called.
	Heard func(*ripwrightv1.RunLineRequest, *ripwrightv1.RunLineResponse)
	// Ended is called with the reason why each stream but the last ended. Nil: not called.
	Ended func(error)
}

// Run simulates a line until its run ends. The error says that the line could not
// continue; errors of the service are in the report.
func Run(ctx context.Context, cfg Config) (*Report, error) { return newLine(cfg).run(ctx) }

func newLine(cfg Config) *line {
	if cfg.Saw == nil {
		cfg.Saw = cfg.SetUp.GetSaw()
	}
	l := &line{cfg: cfg, report: &Report{}, book: newBook(), rng: rand.New(rand.NewPCG(cfg.Seed, 1<<32)),
		chaos: rand.New(rand.NewPCG(cfg.Seed, 1<<33)), axes: rand.New(rand.NewPCG(cfg.Seed, 1<<34)), control: Controller{Saw: cfg.Saw, Start: cfg.SetUp.GetCurrentSetting()},
		plans: map[int32]*ripwrightv1.LinePlan{}, refused: map[int32]bool{}, orders: newOrders(cfg.SetUp), outfeed: outfeed{bays: map[int32]*ripwrightv1.OutfeedBay{}}}
	l.wishes = rand.New(rand.NewPCG(cfg.Seed, 1<<36))
	if cfg.Shift {
		l.shift = newShift(cfg.Seed)
	}
	l.control.Tolerance, l.control.Drive = machine, l.drive
	l.control.Turns = cfg.SetUp.GetOptions().GetTurnBoards()
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
			return l.report, fmt.Errorf("the service is out of reach: %w", err)
		}
		l.report.Streams++
		time.Sleep(5 * time.Millisecond)
	}
}

// line is the client's side of a run: every message in order, the number answered, and
// the state to continue from.
type line struct {
	cfg     Config
	report  *Report
	book    *book
	control Controller
	rng     *rand.Rand // outcomes of boards
	chaos   *rand.Rand // where the stream breaks
	axes    *rand.Rand // where axes are left, and whether they are measured

	wishes *rand.Rand // operator's instructions
	shift  *shift     // nil: messages carry no time

	log      []*sent
	answered int32 // sequence of the last answered message
	state    []byte
	values   *ripwrightv1.ValuesInForce      // of the last answer
	plans    map[int32]*ripwrightv1.LinePlan // that wait for confirmation, by sequence
	orders   orders
	outfeed  outfeed
	refused  map[int32]bool // plans that the controller does not accept
	waiting  []int32        // keys of plans, in order
	boards   int            // number queued
	again    []*sent        // boards to send once more
	againAt  time.Time      // not before this
	nextAt   time.Time
	silence  time.Duration // like Config.Silence, for the open stream
	done     bool
}

// sent is a message, when it was first sent, and whether it was sent again since.
type sent struct {
	*ripwrightv1.RunLineRequest
	at    time.Time
	again bool
}

func (l *line) queue(m *ripwrightv1.RunLineRequest) {
	m.Sequence = int32(len(l.log)) + 1
	if l.shift != nil {
		if m.AtS = proto.Float64(0); m.Sequence > 1 {
			m.AtS = l.shift.tick()
		}
		l.shift.sent(m)
	}
	l.log = append(l.log, &sent{RunLineRequest: m})
}

// Reasons for which the line gives up a stream.
var (
	errBroken = status.Error(codes.Canceled, "broken on purpose")
	errSilent = status.Error(codes.Canceled, "no answer came")
)
