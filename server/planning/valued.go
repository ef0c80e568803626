package planning

import (
	"errors"
	"math"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
)

// known gives the status for an error of planning.
func known(err error) error {
	var l fault.List
	if errors.As(err, &l) {
		return refuse.Faults(l)
	}
	if _, ok := status.FromError(err); ok {
		return err
	}
	return status.Error(codes.Internal, "internal error")
}

// values writes down what each item is to be worth. Planned values are scaled so
// that the open order is worth what it is by the order's own values, so that both
// can stand side by side; where it is worth nothing, so that the dearest item is
// worth dearest.
func (in *pricing) values(out *ripwrightv1.PlanValuesResponse, pl *values.Planner, plan *values.Plan) {
	const dearest = 1000.0
	perItem := map[int]int{}
	own, planned, top := 0.0, 0.0, 0.0
	for k := range pl.Demand.Rows {
		r := &pl.Demand.Rows[k]
		if r.Cut != demand.Whole || plan.ToCut[k] == 0 {
			continue
		}
		perItem[r.Item] = k
		it := &in.problem.Items[r.Item]
		own += ownValue(it, r) * r.Units(r.Open)
		planned += plan.Values[k] * r.Units(r.Open)
		top = math.Max(top, rate(it, r, plan.ToCut[k]))
	}
	scale := 0.0
	if top > 0 {
		scale = dearest / top
		if in.problem.Objective == values.Cost {
			scale = 1 // lumber costs money already
		}
		if own > 0 {
			scale = own / planned
		}
		// What rules raise must still be a value.
		scale = math.Min(scale, float64(saw.MaxValue)/1e6/100/top)
	}
	out.WorthPerCost = scale
	for i := range in.problem.Items {
		it := &in.problem.Items[i]
		v := &ripwrightv1.PlannedValue{ItemId: it.ID, Value: float64(it.Value) / 1e6, ValuePer: per(it.Basis)}
		if k, ok := perItem[i]; ok {
			r := &pl.Demand.Rows[k]
			cost := plan.Values[k]
			v.LumberCost = &cost
			if rule := in.rules[it.ID]; !rule.GetKeep() {
				times := 1.0
				if t := rule.GetTimes(); t > 0 {
					times = t
				}
				v.Value = math.Round(rate(it, r, plan.ToCut[k])*scale*times*1e6) / 1e6
				v.ValuePer = basis(it, r)
			}
		}
		out.Values = append(out.Values, v)
	}
}

// rate turns a value per unit of a row into one per what basis gives.
func rate(it *order.Item, r *demand.Row, v float64) float64 {
	if r.Measure == order.ByPieces && it.PieceLength > 0 {
		return v / (it.PieceLength.MM() / 1000)
	}
	return v
}

func basis(it *order.Item, r *demand.Row) ripwrightv1.ValuePer {
	switch {
	case r.Measure == order.ByArea:
		return ripwrightv1.ValuePer_VALUE_PER_AREA
	case r.Measure == order.ByLength, it.PieceLength > 0:
		return ripwrightv1.ValuePer_VALUE_PER_LENGTH
	}
	return ripwrightv1.ValuePer_VALUE_PER_PIECE
}

// ownValue is the order's own value of a unit of a row, 0 where it cannot be
// told without knowing the strips.
func ownValue(it *order.Item, r *demand.Row) float64 {
	v := float64(it.Value) / 1e6
	metres := 1.0
	switch {
	case r.Measure == order.ByArea:
		if it.Basis == order.PerArea {
			return v
		}
		return 0
	case r.Measure == order.ByPieces && it.PieceLength > 0:
		metres = it.PieceLength.MM() / 1000
	case r.Measure == order.ByPieces:
		if it.Basis == order.PerPiece {
			return v
		}
		return 0
	}
	switch it.Basis {
	case order.PerLength:
		return v * metres
	case order.PerArea:
		return v * metres * it.Min.MM() / 1000
	}
	return 0
}

func per(b order.Basis) ripwrightv1.ValuePer {
	switch b {
	case order.PerLength:
		return ripwrightv1.ValuePer_VALUE_PER_LENGTH
	case order.PerPiece:
		return ripwrightv1.ValuePer_VALUE_PER_PIECE
	}
	return ripwrightv1.ValuePer_VALUE_PER_AREA
}

var reasons = map[values.Reason]struct {
	kind ripwrightv1.ImpossibleReason
	says string
}{
	values.TooWide:  {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_TOO_WIDE, "every board expected is narrower, less its trim"},
	values.TooLong:  {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_TOO_LONG, "every board expected is shorter than the length asked for"},
	values.TooShort: {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_TOO_SHORT, "every board expected is longer than greatest_length_mm"},
	values.BySaw:    {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_SAW, "no pocket of the saw can have this width over the boards expected"},
	values.ByBoards: {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_BOARDS, "no board expected gives a strip of it: crook, defects, or the saw's limits on boards"},
}

func impossible(pl *values.Planner, rows []int) (out []*ripwrightv1.ImpossibleItem) {
	for _, k := range rows {
		why := reasons[pl.Why(k)]
		it := &pl.Demand.Items[pl.Demand.Rows[k].Item]
		out = append(out, &ripwrightv1.ImpossibleItem{ItemId: it.ID, Reason: why.kind, Says: why.says})
	}
	return out
}

// drawn writes a pattern's plan out, with the items that it was found for.
func (in *pricing) drawn(lot *values.Lot, p values.Pattern) *ripwrightv1.Plan {
	q := rip.Problem{Saw: in.problem.Saw, Board: lot.Kinds[0].Board}
	items := make([]wire.Item, 0, len(p.Items))
	for _, i := range p.Items {
		it := in.problem.Items[i]
		if it.PieceLength > 0 {
			it.Cuts = []order.Cut{{Length: it.PieceLength}} // as the planner sees it
		}
		q.Items = append(q.Items, it)
		items = append(items, in.items[i])
	}
	return wire.PlanOf(&q, items, p.Plan)
}
