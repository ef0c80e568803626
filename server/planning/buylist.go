package planning

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// buys is a lot's part of a buy list, and its result.
type buys struct {
	limited bool
	most    float64
	pack    float64 // boards of one more pack; 0: it is not asked for

	leaving, saves *float64
	leave          bool
}

// currency is the currency of the prices: the request's, otherwise the server's.
func (s *Service) currency(p *wire.Parts, said string) string {
	if p.Text("currency", said, ranges.Currency); said != "" {
		return said
	}
	return s.cfg.Currency
}

// more adds the items of the further orders to those of the first, under unique names.
func (o *asked) more(p *wire.Parts, m *ripwrightv1.QuoteOrderRequest) {
	if !p.Entries("more_orders", len(m.GetMoreOrders()), ranges.MoreOrders) {
		return
	}
	taken := map[string]bool{}
	for _, it := range m.GetOrder().GetItems() {
		taken[it.GetItemId()] = true
	}
	for i, further := range m.GetMoreOrders() {
		path := fmt.Sprintf("more_orders[%d]", i)
		if further.GetOrderId() == "" {
			p.Because(fault.Missing, path+".order_id", "is missing; an order that is cut along with others needs a name of its own")
		}
		for k, it := range p.OrderAt(path, further) {
			it.ID = further.GetOrderId() + "/" + it.ID
			switch at := fmt.Sprintf("%s.items[%d].item_id", path, k); {
			case taken[it.ID]:
				p.Because(fault.Duplicate, at, "makes the name %q, which another item has; give each order an order_id of its own", it.ID)
			case utf8.RuneCountInString(further.GetOrderId()) > int(ranges.OwnID.Most): // there is another fault
			case utf8.RuneCountInString(it.ID) > int(ranges.OwnID.Most):
				p.Because(fault.OutOfRange, at, "makes %q with its order_id, longer than %g characters", it.ID, ranges.OwnID.Most)
			}
			taken[it.ID] = true
			o.problem.Items = append(o.problem.Items, it)
			o.further = append(o.further, fmt.Sprintf("%s.items[%d]", path, k))
		}
	}
}

// placed moves faults of items of the further orders to their places in the request.
func (o *asked) placed(l fault.List) fault.List {
	at := o.places()
	for i := range l {
		l[i].Path = at(l[i].Path)
	}
	return l
}

// places gives the path in the request for a path below the items of all orders together.
func (o *asked) places() func(path string) string {
	first, further := len(o.problem.Items)-len(o.further), o.further
	return func(path string) string {
		rest, ok := strings.CutPrefix(path, "order.items[")
		number, rest, closed := strings.Cut(rest, "]")
		if n, err := strconv.Atoi(number); ok && closed && err == nil && n >= first && n-first < len(further) {
			return further[n-first] + rest
		}
		return path
	}
}

// buyList reads the question about buying; nil: there is none.
func buyList(p *wire.Parts, m *ripwrightv1.QuoteOrderRequest, a *asked) []buys {
	if m.GetBuyList() == nil {
		return nil
	}
	if o := m.GetObjective(); o == ripwrightv1.PlanObjective_PLAN_OBJECTIVE_BOARDS || o == ripwrightv1.PlanObjective_PLAN_OBJECTIVE_FACE {
		p.Because(fault.WrongTurn, "objective", "is %s; a buy list is planned by cost, so omit it", o)
	}
	a.problem.Objective = values.Cost
	for i := range a.problem.Items {
		if a.problem.Items[i].Due > 0 {
			p.Because(fault.WrongTurn, "buy_list", "is given along with due_boards of the item %q; a buy list is planned without dues", a.problem.Items[i].ID)
			break
		}
	}
	out, at := make([]buys, len(a.lots)), map[string]int{}
	for g := range a.lots {
		at[a.lots[g].ID] = g
	}
	list := m.GetBuyList().GetLots()
	if !p.Entries("buy_list.lots", len(list), ranges.Stock) {
		return out
	}
	named := map[string]bool{}
	for i, l := range list {
		path := fmt.Sprintf("buy_list.lots[%d]", i)
		sound := p.Text(path+".lot_id", l.GetLotId(), ranges.LotID)
		most := p.Count(path+".max_boards", l.MaxBoards, 1, ranges.MaxStock)
		pack := p.Count(path+".pack_boards", l.PackBoards, 1, ranges.MaxStock)
		g, ok := at[l.GetLotId()]
		switch {
		case !sound, len(a.lots) == 0: // there is another fault
			continue
		case !ok:
			p.Because(fault.UnknownName, path+".lot_id", "is %q; the lumber has no such lot", l.GetLotId())
			continue
		case named[l.GetLotId()]:
			p.Because(fault.Duplicate, path+".lot_id", "is %q, which is given twice; name each lot at most once", l.GetLotId())
		}
		named[l.GetLotId()] = true
		if l.MaxBoards != nil {
			out[g].limited, out[g].most = true, float64(most)
		}
		if l.PackBoards != nil {
			out[g].pack = float64(pack)
		}
	}
	return out
}

// weigh plans the order without each lot, and with one more pack of each, by parts. What
// the time does not suffice for is left out, and counted.
func (in *quoting) weigh(pl *values.Planner, plan *values.Plan, open []int64) {
	if plan.Short {
		return
	}
	o := in.options.Values
	other := func(g int, limited bool, most float64) (p *values.Plan, stopped bool) {
		if plan.Stopped {
			return nil, true
		}
		b := &in.buys[g]
		pl.Limit(g, limited, most)
		defer pl.Limit(g, b.limited, b.most)
		p, err := pl.Plan(open, o)
		switch {
		case err != nil || p.Stopped:
			return nil, true
		case p.Short:
			return nil, false
		}
		return p, false
	}
	for g := range in.buys {
		b := &in.buys[g]
		var without, more bool // not known
		if plan.Boards[g] == 0 {
			b.leaving, b.leave = new(float64), true
		} else if len(in.buys) > 1 {
			var p *values.Plan
			if p, without = other(g, true, 0); p != nil {
				costs := max(p.Cost-plan.Cost, 0)
				b.leaving = &costs
			}
		}
		if b.pack > 0 {
			b.saves = new(float64)
			if b.limited && plan.Boards[g] > b.most-1 {
				var p *values.Plan
				if p, more = other(g, true, b.most+b.pack); p == nil {
					b.saves = nil
				} else {
					*b.saves = max(plan.Cost-p.Cost, 0)
				}
			}
		}
		if without || more {
			in.unweighed++
		}
	}
}
