package planning

import (
	"errors"

	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
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
	return refuse.Internal()
}

// values writes what each item should be worth.
func (in *pricing) values(out *ripwrightv1.PlanValuesResponse, pl *values.Planner, plan *values.Plan) {
	planned, perCost := pl.ForItems(plan, in.rules)
	if out.Cost != nil {
		out.WorthPerCost = &perCost
	}
	for i := range planned {
		it, p := &in.problem.Items[i], &planned[i]
		v := wire.PlannedValue(it, p.Value, p.Basis, p.Cuts)
		if p.Planned && plan.Rounds > 0 && len(it.Cuts) == 0 { // not known before
			v.LumberCost = &p.Cost
		}
		out.Values = append(out.Values, v)
	}
}

var reasons = map[values.Reason]struct {
	kind ripwrightv1.ImpossibleReason
	says string
}{
	values.TooWide:  {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_TOO_WIDE, "every expected board is narrower once trimmed"},
	values.TooLong:  {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_TOO_LONG, "every expected board is shorter than the length asked for"},
	values.TooShort: {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_TOO_SHORT, "every expected board is longer than max_length_mm"},
	values.BySaw:    {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_SAW, "no pocket of the saw can have this width over the boards expected"},
	values.ByBoards: {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_BOARDS, "no expected board gives a strip of it: crook, defects, or the saw's limits on boards"},
	values.Unknown:  {ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_UNSPECIFIED, "no expected board gives a strip of it; the time did not suffice to find out why"},
}

func impossible(pl *values.Planner, rows []int, o *values.Options) (out []*ripwrightv1.ImpossibleItem) {
	for _, k := range rows {
		why := reasons[pl.Why(k, o)]
		r := &pl.Demand.Rows[k]
		it := &pl.Demand.Items[r.Item]
		i := &ripwrightv1.ImpossibleItem{ItemId: it.ID, Reason: why.kind, Says: why.says}
		if r.Cut != demand.Whole {
			i.LengthMm = proto.Float64(it.Cuts[r.Cut].Length.MM())
		}
		out = append(out, i)
	}
	return out
}

// late names the items whose dues cannot be kept.
func late(pl *values.Planner, plan *values.Plan) (out []*ripwrightv1.LateItem) {
	for _, l := range plan.Late {
		it := &pl.Demand.Items[pl.Demand.Rows[l.Row].Item]
		// One of its lengths stands for an item: all of them have the same due.
		if n := len(out); n == 0 || out[n-1].GetItemId() != it.ID {
			out = append(out, &ripwrightv1.LateItem{ItemId: it.ID, DueBoards: int32(it.Due), MinBoards: pieces(l.Least)})
		}
	}
	return out
}

// drawn converts a pattern's plan, with the items for which it was found.
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
