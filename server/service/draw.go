package service

import (
	"context"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/rip"
)

// DrawPlan implements the call of that name.
func (s *Service) DrawPlan(ctx context.Context, m *ripwrightv1.DrawPlanRequest) (*ripwrightv1.DrawPlanResponse, error) {
	ctx = s.came(ctx)
	d, err := wire.Draw(m, s.saws)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var plan *rip.Plan
	var found *rip.Result
	var broken []rip.Broken
	var svg []byte
	took, err := s.turn(ctx, d.Job, memory.Of(m), drawing(d), func() error {
		if !d.Given {
			r, err := s.solve(ctx, d.Job)
			if err != nil {
				return err
			}
			plan, found = r.Best, r
			svg = d.Picture(plan, nil)
			return nil
		}
		c, err := s.cfg.Solver.Check(d.Job)
		if err == nil {
			err = here(ctx)
		}
		if err == nil {
			err = withhold.Given(d.Job, c)
		}
		if err != nil {
			return err
		}
		plan, broken = c.Plan, c.Broken
		svg = d.Picture(plan, broken)
		return nil
	})
	var answer *ripwrightv1.DrawPlanResponse
	if err == nil {
		answer = d.Drawn(plan, found, broken, svg, took)
		err = withhold.Drawn(d.Job, plan, answer)
	}
	if err != nil {
		return nil, s.failed(ctx, "DrawPlan", m, err)
	}
	return answer, nil
}

// perMark is the time to draw a station, a defect or an item, including what is in its
// strips, on a slow core.
const perMark = 1500 * time.Nanosecond

// drawing is roughly how long a picture takes.
func drawing(d *wire.Drawing) time.Duration {
	b := &d.Problem.Board
	return time.Duration(len(b.Stations)+len(b.Defects)+len(d.Problem.Items)) * perMark
}
