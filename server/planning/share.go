package planning

import (
	"context"
	"math"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/share"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// ShareOrder implements the call of that name.
func (s *Service) ShareOrder(ctx context.Context, m *ripwrightv1.ShareOrderRequest) (*ripwrightv1.ShareOrderResponse, error) {
	in, err := s.readShare(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var out *ripwrightv1.ShareOrderResponse
	took, err := s.turn(ctx, "ShareOrder", memory.Of(m)+in.holds(), in.limit, func(t *turn) (bool, error) {
		out, err = in.share(t.options(0))
		return out.GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT, err
	})
	if err != nil {
		return nil, known(err)
	}
	out.SolveTimeUs = float64(took.Nanoseconds()) / 1e3
	return out, nil
}

// share divides the order, by planned values if boards are expected.
func (in *sharing) share(o values.Options) (*ripwrightv1.ShareOrderResponse, error) {
	out := &ripwrightv1.ShareOrderResponse{EndedBy: ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT}
	priced := proto.CloneOf(in.request.GetOrder())
	var planned *share.Planned
	if len(in.lines.Boards) > 0 && in.anyOpen() {
		var err error
		if planned, err = share.Plan(&in.lines, o); err != nil {
			return nil, err
		}
		if planned.Plan != nil {
			out.Impossible = impossible(planned.Planner, planned.Plan.Impossible, &o)
		}
		if planned.Stopped {
			out.EndedBy = ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT
		}
		if planned.Boards != nil {
			in.weigh(planned)
			in.price(priced, planned)
			out.ValuesPlanned, out.Hours = true, in.hours(planned)
		}
	}
	amounts := make([]share.Amount, len(in.amounts))
	for k := range amounts {
		amounts[k] = in.amounts[k].Amount
	}
	parts := share.Split(amounts)
	all := make([]int64, len(amounts))
	for k := range amounts {
		all[k] = amounts[k].Open
	}
	out.Open = in.itemShares(all)
	for l, m := range in.request.GetLines() {
		own := make([]int64, len(parts))
		line := &ripwrightv1.LineShare{LineId: m.GetLineId(), NothingLeft: true}
		for k := range parts {
			own[k] = parts[k][l]
			line.NothingLeft = line.NothingLeft && own[k] <= in.amounts[k].Reserved[l]
		}
		line.Items = in.itemShares(own)
		line.Order = in.own(priced, l, own)
		if planned != nil && planned.Boards != nil {
			line.Boards = &planned.Boards[l]
		}
		out.Lines = append(out.Lines, line)
	}
	return out, nil
}

// weigh makes the lines share by what each makes of it, if they do not all make the same.
func (in *sharing) weigh(planned *share.Planned) {
	if planned.Makes == nil {
		return
	}
	for k := range planned.Planner.Demand.Rows {
		r := &planned.Planner.Demand.Rows[k]
		parts, some := make([]float64, len(in.fills)), false
		for l := range parts {
			parts[l] = planned.Makes[l][k]
			some = some || parts[l] > 0
		}
		if !some {
			continue // no line makes it: by pace
		}
		for i := range in.amounts {
			if w := &in.amounts[i]; w.item == r.Item && w.cut == r.Cut {
				w.Weights = share.Weights(parts)
			}
		}
	}
}

// price puts planned values into the order.
func (in *sharing) price(o *ripwrightv1.CutOrder, planned *share.Planned) {
	items, _ := planned.Planner.ForItems(planned.Plan, in.rules)
	for i := range items {
		if !items[i].Planned {
			continue
		}
		v, it := wire.PlannedValue(&in.items[i], items[i].Value, items[i].Basis, items[i].Cuts), o.GetItems()[i]
		if len(in.items[i].Cuts) == 0 {
			it.Value, it.ValuePer = v.GetValue(), v.GetValuePer()
		}
		for c, length := range v.GetLengths() {
			it.GetCrosscut().GetLengths()[c].Value = length.GetValue()
		}
	}
}

// hours gives the time until all lines end.
func (in *sharing) hours(planned *share.Planned) *float64 {
	boards, face, end := 0.0, 0.0, 0.0
	for _, b := range planned.Boards {
		boards += b
	}
	if boards > 0 {
		face = planned.Face / boards // of one board
	}
	for l, b := range planned.Boards {
		if in.byFace {
			b *= face
		}
		if b > 0 {
			end = math.Max(end, b/in.lines.Paces[l])
		}
	}
	return &end
}

// itemShares writes the shares of each amount.
func (in *sharing) itemShares(amounts []int64) (out []*ripwrightv1.ItemShare) {
	for k := range in.amounts {
		w := &in.amounts[k]
		it := &in.items[w.item]
		if n := len(out); n == 0 || out[n-1].GetItemId() != it.ID {
			out = append(out, &ripwrightv1.ItemShare{ItemId: it.ID})
		}
		to := out[len(out)-1]
		if w.cut == demand.Whole {
			to.Amount = wire.AmountOf(it.Measure, min(amounts[k], order.MaxAmount))
		} else {
			to.Lengths = append(to.Lengths, &ripwrightv1.LengthPieces{LengthMm: it.Cuts[w.cut].Length.MM(), Pieces: pieces(amounts[k])})
		}
	}
	return out
}

// own is the order for line l.
func (in *sharing) own(priced *ripwrightv1.CutOrder, l int, shares []int64) *ripwrightv1.CutOrder {
	o, all := proto.CloneOf(priced), 0.0
	for _, pace := range in.lines.Paces {
		all += pace
	}
	for _, it := range o.GetItems() {
		it.Made = nil
		if it.DueBoards != nil {
			it.DueBoards = proto.Int32(due(it.GetDueBoards(), in.lines.Paces[l], all))
		}
		for _, c := range it.GetCrosscut().GetLengths() {
			c.Made = nil
		}
	}
	for k := range in.amounts {
		w := &in.amounts[k]
		it, f := o.GetItems()[w.item], &in.fills[l][w.item]
		if w.cut == demand.Whole {
			it.Required = wire.AmountOf(in.items[w.item].Measure, min(f.made+shares[k], order.MaxAmount))
		} else {
			it.GetCrosscut().GetLengths()[w.cut].Required = proto.Int32(pieces(f.cuts[w.cut].made + shares[k]))
		}
	}
	return o
}
