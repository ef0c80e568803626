package line

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
)

// slack is the part of the bound on the state that is kept for refusals.
const slack = 64 << 10

// answer puts the fills and the state into an answer. whole: it reports all items even if
// the client asked only for changes.
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

// undo returns the run to its state at the last answer, but counts the message of that
// sequence as taken.
func (s *session) undo(sequence int32) error {
	s.prices.drop()
	s.released = nil
	if err := s.restore(s.last); err != nil {
		return refuse.Internal()
	}
	s.run.Take(sequence)
	return nil
}

// ready says from where the run continues.
func (s *session) ready() *ripwrightv1.LineReady {
	r := &ripwrightv1.LineReady{RunId: s.line.RunID, OrderId: s.line.OrderID, SawName: s.line.Saw.Message.GetName(),
		ArborFingerprint: s.line.Saw.ArborFingerprint(), SawFingerprint: s.line.Saw.Whole(),
		BoardsInFlight: int32(s.line.InFlight), StackWarnings: s.line.MixedItems(), OtherStreams: s.streams.of(s.line.RunID)}
	if s.last != nil { // it is one of those already answered
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
