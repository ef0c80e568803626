package line

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/run"
)

// session is one run on one stream.
type session struct {
	*Server
	setUp *ripwrightv1.LineSetUp // in force, the saw written out
	head  *head                  // how states begin with it; nil until one is made
	line  *wire.Line             // the same, ready for boards
	run   *run.Run
	// known is when the last answer was, writing how long it took from then until it
	// was sent: the next search ends as much sooner.
	known   time.Time
	writing time.Duration
	caller  string
	resumed bool
	// prices is how values are planned; of no matter where line.Planning is nil.
	prices *pricing
	bays   *bays.Bays      // of the outfeed; nil where line.Bays is
	room   *memory.Account // of the whole line
	holds  int64           // bytes of it

	// What the last answer told: all fills, the values, and the state, by which what
	// has to be undone is undone.
	fills  []*ripwrightv1.Fill
	values []*ripwrightv1.PlannedValue
	last   []byte
	drift  *wire.Mark // by which metrics were told last of widths that drift; nil: they were not
	// Boards whose reservation the message under way ended.
	released []run.Held
	// before are the orders that came before the one in force, where orders wait or waited;
	// turned says that the message under way had another come into force, and told how the
	// items of the others stood in the last answer, by order.
	before []*wire.Line
	turned bool
	told   map[string][]*ripwrightv1.Fill
}

// close ends what runs beside the session.
func (s *session) close() {
	s.undrift()
	s.prices.close()
	s.room.Give(s.holds)
}

// perState is how often a run is held, in bytes of its unpacked state: the set-up as it came
// and as it was read, the books, and the state itself while it is made and sent, and
// as the last answer had it.
const perState = 9

// hold has the session hold what a run with a state of so many bytes does, or reports
// that there is no room for that.
func (s *session) hold(state int) bool {
	more := perState*int64(state) - s.holds
	if more > 0 && !s.room.Take(more) {
		return false
	}
	if more < 0 {
		s.room.Give(-more)
	}
	s.holds += more
	return true
}

// errFull tells a client to go on elsewhere, or later: it has the last state.
var errFull = refuse.With(codes.Unavailable, ripwrightv1.ErrorReason_ERROR_REASON_BUSY, "open lines hold as much memory as they may; resume with the last state on another replica, or later")

// open answers the first message of a stream. The session it gives has to be
// closed.
func (s *Server) open(ctx context.Context, room *memory.Account, m *ripwrightv1.RunLineRequest) (*session, *ripwrightv1.RunLineResponse, error) {
	if l := guard.Unknown(m); len(l) > 0 {
		return nil, nil, refuse.Faults(l)
	}
	at := &session{Server: s, known: s.cfg.Now(), caller: caller.Of(ctx), room: room, prices: &pricing{Server: s, course: &replan.Course{}}}
	out := &ripwrightv1.RunLineResponse{}
	var err error
	switch first := m.GetMessage().(type) {
	case *ripwrightv1.RunLineRequest_SetUp:
		if m.GetSequence() != 1 {
			return nil, nil, outOfOrder(m.GetSequence(), 1)
		}
		if err = at.begin(ctx, first.SetUp); err == nil {
			if err = at.pass(m); err != nil {
				err = refuse.Error(err)
			}
		}
		if err == nil {
			out.Answer = &ripwrightv1.RunLineResponse_Started{Started: &ripwrightv1.LineStarted{Ready: at.ready()}}
		}
	case *ripwrightv1.RunLineRequest_Resume:
		if m.GetSequence() != 0 {
			return nil, nil, outOfOrder(m.GetSequence(), 0)
		}
		if l := noTime(m); len(l) > 0 {
			return nil, nil, refuse.Faults(l)
		}
		if !at.hold(unpackedSize(first.Resume.GetState())) {
			return nil, nil, errFull
		}
		at.resumed = true
		if err = at.restore(first.Resume.GetState()); err == nil {
			err = at.expected(first.Resume)
		}
		if err == nil {
			out.Answer = &ripwrightv1.RunLineResponse_Resumed{Resumed: &ripwrightv1.LineResumed{Ready: at.ready()}}
		}
	default:
		return nil, nil, refuse.Faults(fault.List{{Path: "message", Says: "is the first on the stream; must be set_up or resume", Reason: fault.WrongTurn}})
	}
	if err != nil {
		at.close()
		return nil, nil, err
	}
	if err = at.answer(out, true); errors.Is(err, errTooLarge) {
		err = refuse.Faults(fault.List{{Path: "set_up", Says: errTooLarge.Error()}})
	}
	return at, out, err
}

// expected holds the run against what a resume says that it is to be.
func (s *session) expected(m *ripwrightv1.LineResume) error {
	for _, f := range []struct{ name, want, is string }{
		{"run_id", m.GetRunId(), s.line.RunID},
		{"order_id", m.GetOrderId(), s.line.OrderID},
		{"arbor_fingerprint", m.GetArborFingerprint(), s.line.Saw.ArborFingerprint()},
		{"saw_fingerprint", m.GetSawFingerprint(), s.line.Saw.Whole()},
	} {
		if f.want != "" && f.want != f.is {
			return refuse.Precondition(ripwrightv1.ErrorReason_ERROR_REASON_ANOTHER_RUN, "resume."+f.name, fmt.Sprintf("is %q; the state is of %q", f.want, f.is))
		}
	}
	return nil
}

func (s *session) begin(ctx context.Context, m *ripwrightv1.LineSetUp) error {
	l, err := wire.SetUp(m, s.cfg.Saws, true)
	if err == nil {
		s.run = &run.Run{Sequence: 1, InFlight: l.InFlight, Known: run.Known{By: run.StandSetUp}}
		var below fault.List
		below.Within("order", s.run.SetOrder(l.OrderID, l.Wanted))
		if err = below.Err(); err == nil {
			err = s.awaits(l)
		}
	}
	if err != nil {
		return refuse.Error(under("set_up", err, ""))
	}
	s.adopt(m, l)
	if l.Bays != nil {
		s.bays = bays.New(l.Bays.Count)
	}
	if l.Planning != nil {
		s.first(ctx)
	}
	return nil
}

// adopt takes a set-up into force.
func (s *session) adopt(m *ripwrightv1.LineSetUp, l *wire.Line) {
	s.setUp, s.head = proto.CloneOf(m), nil
	if p := s.setUp.GetValuePlanning(); p != nil {
		p.Expected = nil // in the sample from now on
	}
	s.setUp.SawChoice = &ripwrightv1.LineSetUp_Saw{Saw: l.Saw.Message}
	s.line = l
	s.run.ReleaseAfter = l.ReleaseAfter
}

func outOfOrder(got, want int32) error {
	says := fmt.Sprintf("is %d; must be %d", got, want)
	return refuse.Precondition(ripwrightv1.ErrorReason_ERROR_REASON_WRONG_SEQUENCE, "sequence", says)
}

// take answers one message after the first. An error ends the stream.
func (s *session) take(ctx context.Context, m message) (*ripwrightv1.RunLineResponse, error) {
	if !s.run.Take(m.request.GetSequence()) {
		return nil, outOfOrder(m.request.GetSequence(), s.run.Sequence+1)
	}
	s.known = s.cfg.Now()
	out := &ripwrightv1.RunLineResponse{}
	whole := m.request.GetOrderChange() != nil || m.request.GetSawChange() != nil || m.request.GetNextOrders() != nil
	s.released, s.turned = nil, false
	wrong := s.follow(ctx, m, out)
	if ctx.Err() != nil {
		return nil, status.FromContextError(ctx.Err()).Err()
	}
	if wrong == nil {
		if wrong = s.answer(out, whole); wrong == nil {
			return out, nil
		}
		if !errors.Is(wrong, errTooLarge) {
			return nil, wrong
		}
		if err := s.undo(m.request.GetSequence()); err != nil {
			return nil, err
		}
	}
	refused, err := refusal(wrong)
	if err != nil {
		return nil, err
	}
	if m.request.GetBoard() != nil {
		s.run.Refuse()
		s.cfg.Watch.Refused(s.caller, s.line, refused.GetReason())
	}
	out = &ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Refused{Refused: refused}}
	return out, s.answer(out, false)
}

// follow does what a message asks for and puts what there is to say into the
// answer. An error leaves everything as it was, but for the time.
func (s *session) follow(ctx context.Context, m message, out *ripwrightv1.RunLineResponse) (wrong error) {
	if l := guard.Unknown(m.request); len(l) > 0 {
		return l
	}
	if wrong = s.pass(m.request); wrong != nil {
		return wrong
	}
	switch r := m.request.GetMessage().(type) {
	case *ripwrightv1.RunLineRequest_Board:
		out.Answer, wrong = s.board(ctx, r.Board, m)
	case *ripwrightv1.RunLineRequest_Confirmation:
		out.Answer, wrong = s.confirm(r.Confirmation)
	case *ripwrightv1.RunLineRequest_OrderChange:
		if wrong = s.order(ctx, r.OrderChange); wrong == nil {
			out.Answer = &ripwrightv1.RunLineResponse_OrderChanged{OrderChanged: &ripwrightv1.LineOrderChanged{Ready: s.ready()}}
		}
	case *ripwrightv1.RunLineRequest_SawChange:
		if wrong = s.saw(ctx, r.SawChange); wrong == nil {
			out.Answer = &ripwrightv1.RunLineResponse_SawChanged{SawChanged: &ripwrightv1.LineSawChanged{Ready: s.ready()}}
		}
	case *ripwrightv1.RunLineRequest_End:
		out.Answer = &ripwrightv1.RunLineResponse_Summary{Summary: s.summed(s.line.Summary(s.run, &s.run.Totals))}
	case *ripwrightv1.RunLineRequest_NextOrders:
		if wrong = s.await(r.NextOrders); wrong == nil {
			out.Answer = &ripwrightv1.RunLineResponse_OrdersWaiting{OrdersWaiting: &ripwrightv1.LineOrdersWaiting{Ready: s.ready()}}
		}
	case *ripwrightv1.RunLineRequest_SumUp:
		out.Answer = s.sumUp(r.SumUp)
	case *ripwrightv1.RunLineRequest_Stop:
		out.Answer, wrong = s.stop(r.Stop)
	case *ripwrightv1.RunLineRequest_Restart:
		out.Answer, wrong = s.restart()
	default:
		wrong = fault.List{{Path: "message", Says: "must be board, confirmation, order_change, next_orders, saw_change, sum_up, stop, restart or end", Reason: fault.Missing}}
	}
	return wrong
}

// slack is kept of the state's bounds for what refusals add to it.
const slack = 64 << 10

// answer puts into every answer how the order stands and the state. whole says that
// the answer tells of all items even where only changes are asked for.
func (s *session) answer(out *ripwrightv1.RunLineResponse, whole bool) error {
	state, size, err := s.state()
	if err != nil {
		return refuse.Internal()
	}
	most := wire.MaxState
	if out.GetRefused() == nil && out.GetSummary() == nil && out.GetSummedUp() == nil {
		most -= slack
	}
	if size > most {
		return errTooLarge
	}
	if !s.hold(size) {
		return errFull
	}
	if whole = whole || s.turned; whole {
		s.fills, s.values = nil, nil
	}
	out.Sequence, out.State, s.last = s.run.Sequence, state, state
	s.fills, out.Fills = s.line.Fills(s.run, s.fills)
	s.others(out, whole)
	out.Values = s.inForce()
	s.values = s.line.ToldValues(out.Values, s.values)
	out.ValuesUnderWay = s.prices.underWay()
	out.Released, s.released = unconfirmed(s.released), nil
	made := order.CloneItems(s.line.Items)
	s.run.Stand(made)
	out.OrderFull = order.Full(made) && (!s.follows() || s.full())
	s.run.StandConfirmed(made)
	s.cfg.Watch.Stands(s.caller, s.line, made)
	s.drifts()
	return nil
}

// undo takes the run back to where the last answer left it, with the message of
// that sequence taken all the same.
func (s *session) undo(sequence int32) error {
	s.prices.drop()
	s.released = nil
	if err := s.restore(s.last); err != nil {
		return refuse.Internal()
	}
	s.run.Take(sequence)
	return nil
}

// ready says what the run goes on with.
func (s *session) ready() *ripwrightv1.LineReady {
	r := &ripwrightv1.LineReady{RunId: s.line.RunID, OrderId: s.line.OrderID, SawName: s.line.Saw.Message.GetName(),
		ArborFingerprint: s.line.Saw.ArborFingerprint(), SawFingerprint: s.line.Saw.Whole(),
		BoardsInFlight: int32(s.line.InFlight), StackWarnings: s.line.MixedItems(), OtherStreams: s.streams.of(s.line.RunID)}
	if s.last != nil { // it is one of those that have been answered
		r.OtherStreams--
	}
	r.Drifts = wire.Adrift(s.run)
	if s.bays != nil {
		r.OutfeedBays = s.line.BaysOf(s.bays, s.served(), func(int) bool { return true })
	}
	s.stands(r)
	for _, l := range s.line.Next {
		r.NextOrderIds = append(r.NextOrderIds, l.OrderID)
	}
	r.Unconfirmed = unconfirmed(s.run.Held)
	return r
}

func unconfirmed(boards []run.Held) (all []*ripwrightv1.UnconfirmedBoard) {
	for i := range boards {
		h := &boards[i]
		all = append(all, &ripwrightv1.UnconfirmedBoard{BoardSequence: h.Sequence, BoardId: h.Board, Released: h.Released})
	}
	return all
}

// key names a board's confirmation among those of all runs.
func (s *session) key(sequence int32) string {
	return s.line.RunID + "\x00" + strconv.Itoa(int(sequence))
}
