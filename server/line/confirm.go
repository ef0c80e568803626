package line

import (
	"context"
	"hash/fnv"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/run"
)

// ConfirmCut implements the call of that name. It is arithmetic on the request alone, so
// the same request always has the same answer.
func (s *Server) ConfirmCut(ctx context.Context, m *ripwrightv1.ConfirmCutRequest) (*ripwrightv1.ConfirmCutResponse, error) {
	j, items, c, err := wire.Confirm(m, s.cfg.Saws)
	if err != nil {
		return nil, refuse.Error(err)
	}
	held := run.Held{Order: j.OrderID, Pack: j.PackID, Saw: j.Mark.Saw, BladesChanged: j.Mark.Changed,
		Thickness: j.Problem.Board.Thickness, Face: j.Problem.Board.Face(), Size: j.Size()}
	c.Against = &s.cfg.Against
	settled, after, faults := run.Once(held, items, c)
	if len(faults) > 0 {
		return nil, refuse.Error(faults)
	}
	first, same := s.once.first("\x00"+m.GetConfirmationId(), content(m))
	switch {
	case first:
		s.cfg.Watch.Settled(caller.Of(ctx), settled)
	case !same:
		return nil, refuse.Exists(ripwrightv1.ErrorReason_ERROR_REASON_CONFIRMATION_ID_USED, "confirmation_id",
			"names a confirmation that was counted with other content; every confirmation needs an id of its own")
	default:
		return j.Confirmed(after, settled, run.CountedBefore), nil
	}
	return j.Confirmed(after, settled, run.Counted), nil
}

// content is a hash of what distinguishes confirmations: the board, how it was cut and
// what it counts for, but not the detail of the answer.
func content(m *ripwrightv1.ConfirmCutRequest) uint64 {
	m = proto.CloneOf(m)
	m.Detail = nil
	raw, _ := proto.MarshalOptions{Deterministic: true}.Marshal(m) // it was read from such bytes
	h := fnv.New64a()
	_, _ = h.Write(raw) // a hash never fails
	return h.Sum64()
}
