package service

import (
	"context"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/rip"
)

// DrawPlan implements the call of that name.
func (s *Service) DrawPlan(ctx context.Context, m *ripwrightv1.DrawPlanRequest) (*ripwrightv1.DrawPlanResponse, error) {
	d, err := wire.Draw(m, s.saws)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var plan *rip.Plan
	var found *rip.Result
	var broken fault.List
	var svg []byte
	took, err := s.turn(ctx, d.Job, memory.Of(m), func() error {
		if !d.Given {
			r, err := d.Solve()
			if err != nil {
				return err
			}
			plan, found = r.Best, r
			svg = d.Picture(plan, nil)
			return nil
		}
		c, err := rip.Check(&d.Problem, d.Skew, d.Fence, d.Blades, d.Options)
		if err != nil {
			return err
		}
		plan, broken = c.Plan, c.Broken
		svg = d.Picture(plan, broken)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return d.Drawn(plan, found, broken, svg, took), nil
}
