package planning

import (
	"context"
	"errors"
	"fmt"
	"math"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/quote"
)

// quoteGap is how near planning comes to its bound for a quote: far nearer than its
// interval is wide.
const quoteGap = 1e-3

// QuoteOrder implements the call of that name.
func (s *Service) QuoteOrder(ctx context.Context, m *ripwrightv1.QuoteOrderRequest) (*ripwrightv1.QuoteOrderResponse, error) {
	in, err := s.readQuote(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	q, err := s.quote(ctx, "QuoteOrder", memory.Of(m)+in.holds(), in, nil)
	if err != nil {
		return nil, known(err)
	}
	return q, nil
}

// WatchQuote implements the call of that name. Progress that the caller does not read in
// time is left out.
func (s *Service) WatchQuote(m *ripwrightv1.WatchQuoteRequest, out grpc.ServerStreamingServer[ripwrightv1.WatchQuoteResponse]) error {
	if m.GetQuote() == nil {
		return refuse.Faults(fault.List{{Path: "quote", Says: "is missing; give the quote's request", Reason: fault.Missing}})
	}
	in, err := s.readQuote(m.GetQuote())
	if err != nil {
		return refuse.Error(below(err))
	}
	ctx, cancel := context.WithCancel(out.Context())
	defer cancel()
	news := make(chan int, 1)
	type ending struct {
		answer *ripwrightv1.QuoteOrderResponse
		err    error
	}
	ended := make(chan ending, 1)
	go func() {
		var e ending
		defer func() {
			// A panic here would bypass the interceptor that catches those of calls.
			if p := recover(); p != nil {
				e = ending{err: errPanic}
			}
			ended <- e
		}()
		e.answer, e.err = s.quote(ctx, "WatchQuote", memory.Of(m)+in.holds(), in, func(runs int) {
			select {
			case news <- runs:
			default:
			}
		})
	}()
	var failed error
	for {
		select {
		case runs := <-news:
			if failed != nil {
				continue
			}
			failed = out.Send(&ripwrightv1.WatchQuoteResponse{Event: &ripwrightv1.WatchQuoteResponse_Progress{
				Progress: &ripwrightv1.QuoteProgress{Ended: int32(runs), Simulations: int32(in.options.Runs * len(in.options.Policies))}}})
			if failed != nil {
				cancel() // and wait for the runs to end
			}
		case e := <-ended:
			if failed != nil {
				return failed
			}
			if e.err != nil {
				return known(below(e.err))
			}
			return out.Send(&ripwrightv1.WatchQuoteResponse{Event: &ripwrightv1.WatchQuoteResponse_Quote{Quote: e.answer}})
		}
	}
}

// below moves the paths of faults below the quote that is watched.
func below(err error) error {
	var unknown wire.UnknownSaw
	if errors.As(err, &unknown) {
		unknown.At = "quote." + unknown.At
		return unknown
	}
	var l, all fault.List
	if !errors.As(err, &l) {
		return err
	}
	all.Within("quote", l)
	return all
}

var errPanic = errors.New("planning: panic")

func (s *Service) quote(ctx context.Context, call string, holds int64, in *quoting, progress func(int)) (*ripwrightv1.QuoteOrderResponse, error) {
	var r *quote.Result
	var none []*ripwrightv1.ImpossibleItem
	took, err := s.turn(ctx, call, holds, in.limit, func(t *turn) (bool, error) {
		in.options.Values = t.options(quoteGap)
		in.options.Progress, in.options.Against = progress, true
		in.problem.Values.Lots = in.sampled()
		for g := range in.buys {
			in.problem.Values.Lots[g].Limited, in.problem.Values.Lots[g].Most = in.buys[g].limited, in.buys[g].most
		}
		if in.buys != nil {
			in.options.Ended = in.weigh
		}
		var err error
		if r, err = quote.Solve(&in.problem, in.options); err == nil {
			none = impossible(r.Planner, r.Plan.Impossible, &in.options.Values)
		}
		return err == nil && (r.Stopped || in.unweighed > 0), err
	})
	if err != nil {
		return nil, err
	}
	out := &ripwrightv1.QuoteOrderResponse{
		Result:     result(r.Plan, len(r.Planner.Demand.Rows)),
		Impossible: none, Late: late(r.Planner, r.Plan), EndedBy: ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT,
		ArborFingerprint: in.machine.ArborFingerprint(), SawFingerprint: in.machine.Whole(), SolveTimeUs: float64(took.Nanoseconds()) / 1e3,
	}
	out.Currency = in.currency
	out.Warnings = wire.OrderWarnings(in.problem.Values.Items)
	for _, w := range out.GetWarnings() {
		w.Path = in.at(w.GetPath())
	}
	if r.Stopped || in.unweighed > 0 {
		out.EndedBy, out.LeftUndone = ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT, in.undone(r)
	}
	for g := range in.problem.Values.Lots {
		if out.GetResult() == ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED {
			break // nothing is known of the lots
		}
		use := lotUse(&in.problem.Values.Lots[g], r.Plan, g)
		if in.buys != nil {
			use.LeavingCosts, use.Leave, use.PackSaves = in.buys[g].leaving, in.buys[g].leave, in.buys[g].saves
		}
		out.Lots = append(out.Lots, use)
	}
	out.Cost, out.Bound = figures(r.Plan, out.Result)
	for i := range r.Outcomes {
		o := in.outcome(r.Planner.Demand, &r.Outcomes[i], out.Result)
		if r.Outcomes[i].Policy == in.options.Policies[0] {
			out.Quote = o
		} else {
			out.Others = append(out.Others, o)
		}
	}
	in.advise(out, r)
	if out.Quote != nil {
		out.Result = out.Quote.Result
	} else if out.Result != ripwrightv1.PlanningResult_PLANNING_RESULT_IMPOSSIBLE {
		out.Result = ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED
	}
	return out, nil
}

// outcome writes the result of a policy. r is the result of planning.
func (in *quoting) outcome(d *demand.Order, o *quote.Outcome, r ripwrightv1.PlanningResult) *ripwrightv1.QuoteOutcome {
	out := &ripwrightv1.QuoteOutcome{Values: chosen[o.Policy], Result: r, Simulations: int32(o.Runs), Unfinished: int32(o.Unfinished)}
	if o.Unfinished > 0 { // unfinished simulations do not tell what the order takes
		out.Result = ripwrightv1.PlanningResult_PLANNING_RESULT_UNFINISHED
	} else {
		in.figures(out, o)
	}
	estimate := func(i quote.Interval) *ripwrightv1.Estimate { return estimate(i, in.options.Level, o.Runs) }
	for k := range o.Rows {
		r, row := &d.Rows[k], &o.Rows[k]
		it := &ripwrightv1.ItemOutcome{
			ItemId: d.Items[r.Item].ID, Made: estimate(row.Made), HoldsOpen: row.HoldsOpen, Fill: row.Curve[:],
		}
		if row.Filled == o.Runs {
			it.FilledAtBoard = estimate(row.FilledAt)
		}
		if r.Due > 0 {
			it.ByDue = &row.ByDue
		}
		if r.Cut != demand.Whole {
			it.LengthMm = proto.Float64(d.Items[r.Item].Cuts[r.Cut].Length.MM())
		}
		out.Items = append(out.Items, it)
	}
	return out
}

// figures writes what the order took if all simulations filled it, as far as it is known.
func (in *quoting) figures(out *ripwrightv1.QuoteOutcome, o *quote.Outcome) {
	estimate := func(i quote.Interval) *ripwrightv1.Estimate { return estimate(i, in.options.Level, o.Runs) }
	out.Boards, out.FaceM2, out.YieldRatio = estimate(o.Boards), estimate(o.Face), estimate(o.Yield)
	for g := range o.Lots {
		l := &o.Lots[g]
		lot := &ripwrightv1.LotOutcome{LotId: in.lots[g].ID, Boards: estimate(l.Boards)}
		if in.thick {
			lot.BoardFeet = estimate(l.BoardFeet)
			if in.priced {
				lot.Cost = estimate(l.Cost)
			}
		}
		out.Lots = append(out.Lots, lot)
	}
	out.SetAsideBoards = estimate(o.Aside)
	if pace := in.problem.Pace; pace.Feed > 0 || pace.Positioning > 0 || pace.Handling > 0 {
		out.SawHours = estimate(o.Hours)
		if pace.ShiftHours > 0 {
			out.Shifts = estimate(o.Shifts)
		}
	}
	if in.turns {
		out.TurnedBoards, out.TurnCost = estimate(o.Turned), estimate(o.Turning)
	}
	if in.problem.Values.Saw.Rerip.Width > 0 {
		out.ReripM2, out.ReripWorth = estimate(o.Rerip), estimate(o.ReripWorth)
	}
	if !in.thick {
		return
	}
	out.BoardFeet = estimate(o.BoardFeet)
	if in.priced {
		out.Cost, out.SimulationCosts = estimate(o.Cost), o.Costs
	}
}

// estimate writes an interval at a level; a single trial has none.
func estimate(i quote.Interval, level float64, trials int) *ripwrightv1.Estimate {
	if trials < 2 {
		level = 0
	}
	return &ripwrightv1.Estimate{Mean: i.Expected, Lower: i.Low, Upper: i.High, Level: level, Trials: int32(trials)}
}

// perCent writes a share with one decimal, or as many as it takes not to write 0.
func perCent(v float64) string {
	if v < 0.05 {
		return fmt.Sprintf("%.1g", v)
	}
	return fmt.Sprintf("%.1f", v)
}

// advise writes which policy took least, and the boards taken if each is ripped as a plan
// says.
func (in *quoting) advise(out *ripwrightv1.QuoteOrderResponse, r *quote.Result) {
	if len(r.Outcomes) > 0 {
		out.Advised = chosen[r.Advised]
		if first := in.options.Policies[0]; r.Advised != first {
			out.Advice = fmt.Sprintf("%s took %s %% less than %s over the same boards", byWhat[r.Advised], perCent(100*r.Saves), byWhat[first])
		}
	}
	if w := r.Whole; w != nil && w.Boards <= math.MaxInt32 {
		out.WholeBoards, out.WholeCost = proto.Int32(pieces(w.Boards)), &w.Cost
	}
}
