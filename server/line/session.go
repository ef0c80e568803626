package line

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/run"
)

// session is one run on one stream.
type session struct {
	*Server
	setUp *ripwrightv1.LineSetUp // in force, the saw written out
	line  *wire.Line             // the same, ready for boards
	run   *run.Run
	// prices is how values are planned; of no matter where line.Planning is nil.
	prices *pricing
	holds  int64 // bytes of the room
}

// close ends what runs beside the session.
func (s *session) close() {
	s.prices.close()
	s.cfg.Room.Give(s.holds)
}

// perState is how often a run is held, in bytes of its state: the set-up as it came
// and as it was read, the books, and the state itself while it is made and sent.
const perState = 8

// hold has the session hold what a run with a state of so many bytes does, or reports
// that there is no room for that.
func (s *session) hold(state int) bool {
	more := perState*int64(state) - s.holds
	if more > 0 && !s.cfg.Room.Take(more) {
		return false
	}
	if more < 0 {
		s.cfg.Room.Give(-more)
	}
	s.holds += more
	return true
}

// errFull tells a client to go on elsewhere, or later: it has the last state.
var errFull = status.Error(codes.Unavailable, "open lines hold as much memory as they may; resume with the last state on another replica, or later")

// open answers the first message of a stream. The session it gives has to be
// closed.
func (s *Server) open(ctx context.Context, m *ripwrightv1.RunLineRequest) (*session, *ripwrightv1.RunLineResponse, error) {
	at := &session{Server: s, prices: &pricing{Server: s, course: &replan.Course{}}}
	var err error
	switch first := m.GetMessage().(type) {
	case *ripwrightv1.RunLineRequest_SetUp:
		if m.GetSequence() != 1 {
			return nil, nil, outOfOrder(m.GetSequence(), 1)
		}
		err = at.begin(ctx, first.SetUp)
	case *ripwrightv1.RunLineRequest_Resume:
		if m.GetSequence() != 0 {
			return nil, nil, outOfOrder(m.GetSequence(), 0)
		}
		err = at.restore(first.Resume.GetState())
	default:
		return nil, nil, refuse.Faults(fault.List{{Path: "message", Says: "is the first on the stream; must be set_up or resume"}})
	}
	if err != nil {
		return nil, nil, err
	}
	answer, err := at.answer(&ripwrightv1.RunLineResponse{Answer: at.ready()})
	return at, answer, err
}

func (s *session) begin(ctx context.Context, m *ripwrightv1.LineSetUp) error {
	l, err := wire.SetUp(m, s.cfg.Saws, true)
	if err == nil {
		s.run = &run.Run{Sequence: 1, InFlight: l.InFlight}
		var below fault.List
		below.Within("order", s.run.SetOrder(l.OrderID, l.Wanted))
		err = below.Err()
	}
	if err != nil {
		return refuse.Error(under("set_up", err, ""))
	}
	s.adopt(m, l)
	if l.Planning != nil {
		s.first(ctx)
	}
	return nil
}

// adopt takes a set-up into force.
func (s *session) adopt(m *ripwrightv1.LineSetUp, l *wire.Line) {
	s.setUp = proto.CloneOf(m)
	if p := s.setUp.GetValuePlanning(); p != nil {
		p.Expected = nil // in the sample from now on
	}
	s.setUp.SawChoice = &ripwrightv1.LineSetUp_Saw{Saw: l.Saw.Message}
	s.line = l
}

func outOfOrder(got, want int32) error {
	says := fmt.Sprintf("is %d; must be %d", got, want)
	return refuse.Precondition("sequence", says)
}

// take answers one message after the first. An error ends the stream.
func (s *session) take(ctx context.Context, m message) (*ripwrightv1.RunLineResponse, error) {
	if !s.run.Take(m.request.GetSequence()) {
		return nil, outOfOrder(m.request.GetSequence(), s.run.Sequence+1)
	}
	out := &ripwrightv1.RunLineResponse{}
	var wrong error
	switch r := m.request.GetMessage().(type) {
	case *ripwrightv1.RunLineRequest_Board:
		out.Answer, wrong = s.board(ctx, r.Board, m)
	case *ripwrightv1.RunLineRequest_Confirmation:
		out.Answer, wrong = s.confirm(r.Confirmation)
	case *ripwrightv1.RunLineRequest_Order:
		out.Answer, wrong = s.order(ctx, r.Order)
	case *ripwrightv1.RunLineRequest_Saw:
		out.Answer, wrong = s.saw(ctx, r.Saw)
	case *ripwrightv1.RunLineRequest_End:
		out.Answer = &ripwrightv1.RunLineResponse_Summary{Summary: s.line.Summary(s.run)}
	default:
		wrong = fault.List{{Path: "message", Says: "must be board, confirmation, order, saw or end"}}
	}
	if ctx.Err() != nil {
		return nil, status.FromContextError(ctx.Err()).Err()
	}
	if wrong != nil {
		refused, err := refusal(wrong)
		if err != nil {
			return nil, err
		}
		if m.request.GetBoard() != nil {
			s.run.Totals.Refused++
			s.cfg.Watch.Refused(s.line.SawName, reasons[refused.GetReason()])
		}
		out.Answer = &ripwrightv1.RunLineResponse_Refused{Refused: refused}
	}
	return s.answer(out)
}

// answer puts into every answer how the order stands and the state.
func (s *session) answer(out *ripwrightv1.RunLineResponse) (*ripwrightv1.RunLineResponse, error) {
	out.Sequence = s.run.Sequence
	out.Fills = s.line.Fills(s.run)
	out.Values = s.inForce()
	out.ValuesUnderWay = s.prices.underWay()
	state, err := s.state()
	if err != nil {
		return nil, status.Error(codes.Internal, "internal error")
	}
	if len(state) > wire.MaxState {
		return nil, status.Errorf(codes.ResourceExhausted, "the run's state has over %d bytes; begin a new run", wire.MaxState)
	}
	if !s.hold(len(state)) {
		return nil, errFull
	}
	out.State = state
	made := make([]int64, len(s.line.Items))
	for i := range made {
		made[i] = s.run.Made(run.Key{Order: s.line.OrderID, Item: s.line.Items[i].ID})
	}
	s.cfg.Watch.Stands(s.line, made)
	return out, nil
}

func (s *session) ready() *ripwrightv1.RunLineResponse_Ready {
	r := &ripwrightv1.LineReady{SawFingerprint: s.line.Saw.Fingerprint(), BoardsInFlight: int32(s.line.InFlight),
		StackWarnings: s.line.MixedItems()}
	for i := range s.run.Held {
		r.Unconfirmed = append(r.Unconfirmed, s.run.Held[i].Sequence)
	}
	return &ripwrightv1.RunLineResponse_Ready{Ready: r}
}

// order takes another order into force.
func (s *session) order(ctx context.Context, m *ripwrightv1.CutOrder) (*ripwrightv1.RunLineResponse_Ready, error) {
	next := proto.CloneOf(s.setUp)
	next.Order = m
	l, err := s.again(next)
	if err != nil {
		return nil, err
	}
	var below fault.List
	if below.Within("order", s.run.SetOrder(l.OrderID, l.Wanted)); len(below) > 0 {
		return nil, below
	}
	before := s.line.OrderID
	s.adopt(next, l)
	s.ordered(ctx, before)
	return s.ready(), nil
}

// saw takes another saw into force.
func (s *session) saw(ctx context.Context, m *ripwrightv1.SawChange) (*ripwrightv1.RunLineResponse_Ready, error) {
	next, name := proto.CloneOf(s.setUp), ""
	switch c := m.GetSawChoice().(type) {
	case *ripwrightv1.SawChange_Saw:
		next.SawChoice = &ripwrightv1.LineSetUp_Saw{Saw: c.Saw}
	case *ripwrightv1.SawChange_SawName:
		next.SawChoice = &ripwrightv1.LineSetUp_SawName{SawName: c.SawName}
		name = c.SawName
	default:
		next.SawChoice = nil
	}
	l, err := s.again(next)
	if err != nil {
		return nil, under("saw", err, "saw")
	}
	l.SawName = name
	s.adopt(next, l)
	s.run.Positions = nil
	s.sawn(ctx)
	return s.ready(), nil
}

// under puts the paths of faults that begin with one of these fields below the
// part of the message that holds them. The rest is of the set-up.
func under(part string, err error, fields ...string) error {
	var list, below fault.List
	if !errors.As(err, &list) {
		return err
	}
	for _, f := range list {
		if slices.ContainsFunc(fields, func(field string) bool { return strings.HasPrefix(f.Path, field) }) {
			f.Path = part + "." + f.Path
		}
		below = append(below, f)
	}
	return below
}

// again reads a set-up that a part was changed of. The saw's name stays.
func (s *session) again(m *ripwrightv1.LineSetUp) (*wire.Line, error) {
	l, err := wire.SetUp(m, s.cfg.Saws, false)
	if err != nil {
		return nil, err
	}
	if l.SawName == "" {
		l.SawName = s.line.SawName
	}
	return l, nil
}

// key names a board's confirmation among those of all runs.
func (s *session) key(sequence int32) string {
	return s.line.RunID + "\x00" + strconv.Itoa(int(sequence))
}
