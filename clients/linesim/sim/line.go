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
	Within time.Duration // each answer has to come; 0: no limit
	// Breaks is how likely the line breaks its stream after a message that it
	// sent, 0 to 1.
	Breaks float64
	// Shift has messages say the time, and the line stop and run again now and then.
	Shift bool
	// Instructs has an operator want something of some boards.
	Instructs bool
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
	axes    *rand.Rand // where axes are left, and whether somebody measures them

	wishes *rand.Rand // what the operator wants
	shift  *shift     // nil: nobody says the time

	log      []*sent
	answered int32 // sequence of the last message that was
	state    []byte
	values   *ripwrightv1.ValuesInForce      // of the last answer
	plans    map[int32]*ripwrightv1.LinePlan // that wait for confirmation, by sequence
	orders   orders
	outfeed  outfeed
	refused  map[int32]bool // plans that the controller does not accept
	waiting  []int32        // the same in order
	boards   int            // that were queued
	again    []*sent        // boards that are to be sent once more
	againAt  time.Time      // not before this
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
	if l.shift != nil {
		if m.AtS = proto.Float64(0); m.Sequence > 1 {
			m.AtS = l.shift.tick()
		}
		l.shift.sent(m)
	}
	l.log = append(l.log, &sent{RunLineRequest: m})
}

// Ends of streams that the line gives up.
var (
	errBroken = status.Error(codes.Canceled, "broken on purpose")
	errSilent = status.Error(codes.Canceled, "no answer came")
)
