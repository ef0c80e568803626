package planning

import (
	"context"
	"math"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// sampled gives the boards that represent each lot. Each lot has a separate random
// stream, so that one more does not change the others.
func (s *stock) sampled() []values.Lot {
	out := make([]values.Lot, len(s.lots))
	for g := range s.lots {
		lot := &s.lots[g]
		out[g] = values.Lot{ID: lot.ID, Price: lot.Price, Kinds: lot.Sample(s.sample, s.seed+uint64(g)<<32)}
	}
	return out
}

// PlanValues implements the call of that name.
func (s *Service) PlanValues(ctx context.Context, m *ripwrightv1.PlanValuesRequest) (*ripwrightv1.PlanValuesResponse, error) {
	in, err := s.readValues(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var out *ripwrightv1.PlanValuesResponse
	took, err := s.turn(ctx, "PlanValues", memory.Of(m)+in.holds(), in.limit, func(t *turn) (bool, error) {
		out, err = in.plan(t.options(in.gap))
		return out.GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT, err
	})
	if err != nil {
		return nil, known(err)
	}
	out.SolveTimeUs = float64(took.Nanoseconds()) / 1e3
	return out, nil
}

func (in *pricing) plan(o values.Options) (*ripwrightv1.PlanValuesResponse, error) {
	in.problem.Lots = in.sampled()
	pl, err := values.New(&in.problem)
	if err != nil {
		return nil, err
	}
	open := pl.Demand.Open()
	due := slices.ContainsFunc(pl.Demand.Rows, func(r demand.Row) bool { return r.Due > 0 })
	var first *values.Whole
	if !due {
		if first, _, err = pl.Greedy(open, o); err != nil {
			return nil, err
		}
	}
	plan, err := pl.Plan(open, o)
	if err != nil {
		return nil, err
	}
	out := &ripwrightv1.PlanValuesResponse{
		Proven: plan.Proven, EndedBy: ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT, Rounds: int32(plan.Rounds),
		ArborFingerprint: in.machine.ArborFingerprint(), SawFingerprint: in.machine.Whole(),
	}
	out.Result = result(plan, len(open))
	out.Cost, out.Bound = figures(plan, out.Result)
	in.values(out, pl, plan)
	out.Currency = in.currency
	out.Warnings = wire.OrderWarnings(in.problem.Items)
	for g := range in.problem.Lots {
		if out.GetResult() == ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED {
			break // nothing is known of the lots
		}
		out.Lots = append(out.Lots, lotUse(&in.problem.Lots[g], plan, g))
	}
	out.Impossible, out.Late = impossible(pl, plan.Impossible, &o), late(pl, plan)
	if !due && len(plan.Impossible) < len(open) {
		w, ok, err := pl.Whole(plan, open, o)
		if err != nil {
			return nil, err
		}
		if ok && !w.Filled && first != nil && first.Filled {
			w = first // the later planning was stopped
		}
		if ok && (w.Filled || !plan.Stopped) && w.Boards <= math.MaxInt32 {
			out.Whole = in.whole(w)
		}
	}
	if plan.Stopped || o.Stop() {
		out.EndedBy = ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT
	}
	return out, nil
}

// result classifies a plan with a number of rows.
func result(plan *values.Plan, rows int) ripwrightv1.PlanningResult {
	switch n := len(plan.Impossible); {
	case n == rows:
		return ripwrightv1.PlanningResult_PLANNING_RESULT_IMPOSSIBLE
	case plan.Cost <= 0 || math.IsInf(plan.Cost, 0):
		return ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED
	case n > 0:
		return ripwrightv1.PlanningResult_PLANNING_RESULT_WITHOUT_IMPOSSIBLE
	}
	return ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE
}

// figures gives what filling an order costs, and its bound, if there is a usable plan.
// With too few boards it cannot be filled at any cost.
func figures(plan *values.Plan, r ripwrightv1.PlanningResult) (cost, bound *float64) {
	if plan.Short {
		return nil, nil
	}
	switch r {
	case ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE, ripwrightv1.PlanningResult_PLANNING_RESULT_WITHOUT_IMPOSSIBLE:
		return &plan.Cost, &plan.Bound
	case ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED:
		if plan.Bound > 0 { // a bound by the wanted area, if there is no better one
			return nil, &plan.Bound
		}
	default:
	}
	return nil, nil
}

// lotUse gives how much of a lot a plan takes, and the fraction of its boards that the
// values set aside.
func lotUse(lot *values.Lot, plan *values.Plan, g int) *ripwrightv1.LotUse {
	use := &ripwrightv1.LotUse{LotId: lot.ID, Boards: plan.Boards[g]}
	if lot.Limited { // more, if there are too few boards in all
		use.Boards = min(use.Boards, lot.Most)
	}
	if plan.Aside == nil {
		return use
	}
	all, aside := int64(0), int64(0)
	for t, k := range lot.Kinds {
		all += k.Count
		if plan.Aside[g][t] {
			aside += k.Count
		}
	}
	use.SetAside = float64(aside) / float64(all)
	return use
}

func (in *pricing) whole(w *values.Whole) *ripwrightv1.WholePlan {
	out := &ripwrightv1.WholePlan{Boards: pieces(w.Boards), Cost: w.Cost, Proven: w.Proven, Filled: w.Filled}
	for _, p := range w.Patterns {
		lot := &in.problem.Lots[p.Lot]
		out.Patterns = append(out.Patterns, &ripwrightv1.BoardPattern{
			LotId: lot.ID, Times: pieces(p.Times), Plan: in.drawn(lot, p),
		})
	}
	return out
}
