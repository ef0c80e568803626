package sim

import (
	"fmt"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// instructs gives the operator's instructions for a board: mostly none.
func (l *line) instructs() *ripwrightv1.Instructions {
	if l.wishes.IntN(4) > 0 {
		return nil
	}
	items := l.cfg.SetUp.GetOrder().GetItems()
	id := items[l.wishes.IntN(len(items))].GetItemId()
	switch what := l.wishes.IntN(4); {
	case what == 0 || len(l.orders.all) > 1: // an item of an order that is no longer in force is refused
		return &ripwrightv1.Instructions{MinYieldRatio: proto.Float64(0.2 + 0.6*l.wishes.Float64())}
	case what == 1:
		return &ripwrightv1.Instructions{Forced: []*ripwrightv1.ForcedItem{{ItemId: id}}}
	}
	return &ripwrightv1.Instructions{Forbidden: []string{id}}
}

// obeyed checks a plan against the operator's instructions.
func obeyed(m *ripwrightv1.Instructions, p *ripwrightv1.LinePlan) error {
	strips := map[string]int{}
	for _, k := range p.GetPlan().GetPockets() {
		if k.GetOrderId() == "" {
			strips[k.GetItemId()]++
		}
	}
	for _, id := range m.GetForbidden() {
		if strips[id] > 0 {
			return fmt.Errorf("the plan has %d strips of %s, which is forbidden", strips[id], id)
		}
	}
	feed := p.GetDoNotFeed() == nil
	for _, f := range m.GetForced() {
		if strips[f.GetItemId()] == 0 && feed {
			return fmt.Errorf("the plan has no strip of %s, which is forced", f.GetItemId())
		}
	}
	if m != nil && feed && p.GetPlan().GetAccount().GetYieldRatio() < m.GetMinYieldRatio() {
		return fmt.Errorf("the yield is %g, below the least, %g", p.GetPlan().GetAccount().GetYieldRatio(), m.GetMinYieldRatio())
	}
	if chooses := len(m.GetForced())+len(m.GetForbidden()) > 0; chooses != (p.GetInstructed() != nil) {
		return fmt.Errorf("the cost of instructions %v is %v", m, p.GetInstructed())
	}
	return nil
}
