package line

import (
	"context"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/run"
)

// ConfirmCut implements the call of that name. It is arithmetic on what the
// request holds, so the same request always has the same answer.
func (s *Server) ConfirmCut(_ context.Context, m *ripwrightv1.ConfirmCutRequest) (*ripwrightv1.ConfirmCutResponse, error) {
	j, items, c, err := wire.Confirm(m, s.cfg.Saws)
	if err != nil {
		return nil, refuse.Error(err)
	}
	held := run.Held{Order: j.OrderID, Pack: j.PackID, Saw: j.SawName,
		Thickness: j.Problem.Board.Thickness, Face: j.Problem.Board.Face()}
	settled, after, faults := run.Once(held, items, c)
	if len(faults) > 0 {
		return nil, refuse.Error(faults)
	}
	first := s.once.first("\x00" + m.GetConfirmationId())
	if first {
		s.cfg.Watch.Settled(j.SawName, settled)
	}
	return j.Confirmed(after, settled, !first), nil
}
