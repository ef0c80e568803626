package line

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"

	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/run"
)

// session is one run on one stream.
type session struct {
	*Server
	setUp *ripwrightv1.LineSetUp // in force, the saw written out
	head  *head                  // the beginning of its states; nil until one is made
	line  *wire.Line             // the same, ready for boards
	run   *run.Run
	// known is when the last answer was known, writing the time from then until it was
	// sent: the next search ends earlier by as much.
	known   time.Time
	writing time.Duration
	caller  string
	resumed bool
	// prices is how values are planned; unused if line.Planning is nil.
	prices *pricing
	bays   *bays.Bays      // of the outfeed; nil if line.Bays is
	room   *memory.Account // of the whole line
	holds  int64           // bytes of it

	// What the last answer reported: all fills, the values, and the state, from which
	// changes are undone.
	fills  []*ripwrightv1.Fill
	values []*ripwrightv1.PlannedValue
	last   []byte
	drift  *wire.Mark // under which metrics last got width drifts; nil: they did not
	// Boards whose reservation the message under way ended.
	released []run.Held
	// before are the orders before the one in force, if orders wait or have waited;
	// turned: the message under way put another into force; told: the fills of the others
	// in the last answer, by order.
	before []*wire.Line
	turned bool
	told   map[string][]*ripwrightv1.Fill
}

// close ends what the session runs in the background.
func (s *session) close() {
	s.undrift()
	s.prices.close()
	s.room.Give(s.holds)
}

// perState is how often a run is held, in bytes of its unpacked state: the set-up as it
// arrived and as it was read, the books, and the state itself while it is made and sent,
// and as the last answer had it.
const perState = 9

// hold makes the session hold what a run with a state of that many bytes does, or reports
// that there is no room for it.
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

// follow does what a message asks for and puts the result into the answer. After an error
// everything is as before, except the time.
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

// key names a board's confirmation among those of all runs.
func (s *session) key(sequence int32) string {
	return s.line.RunID + "\x00" + strconv.Itoa(int(sequence))
}
