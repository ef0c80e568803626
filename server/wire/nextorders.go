package wire

import (
	"errors"
	"fmt"
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
)

// next reads the waiting orders. Faults of the rest of the set-up are reported by SetUp.
func (r *reader) next(m *ripwrightv1.LineSetUp, saws Saws) (lines []*Line, l fault.List) {
	p := at(nil, "")
	if !r.entries(&p, "next_orders", len(m.GetNextOrders()), nextOrders) || len(m.GetNextOrders()) == 0 {
		return nil, nil
	}
	if m.GetOrder().GetOrderId() == "" {
		l.Because(fault.Missing, "order.order_id", "is missing; an order that others wait for needs a name")
	}
	seen := map[string]string{m.GetOrder().GetOrderId(): "order"}
	for i, o := range m.GetNextOrders() {
		path := fmt.Sprintf("next_orders[%d]", i)
		switch before, twice := seen[o.GetOrderId()]; {
		case o.GetOrderId() == "":
			l.Because(fault.Missing, path+".order_id", "is missing; an order that waits needs a name")
		case twice:
			l.Because(fault.Duplicate, path+".order_id", "is %s, which %s has too; each order of a run needs a name of its own", quote(o.GetOrderId()), before)
		}
		seen[o.GetOrderId()] = path
		line, faults := Following(m, o, saws)
		for _, f := range faults {
			if rest, of := strings.CutPrefix(f.Path, "order"); of {
				f.Path = path + rest
				l = append(l, f)
			}
		}
		lines = append(lines, line)
	}
	return lines, l
}

// Following is a line's set-up with another of its orders and none waiting. The faults
// are of all of it.
func Following(m *ripwrightv1.LineSetUp, o *ripwrightv1.CutOrder, saws Saws) (*Line, fault.List) {
	one := &ripwrightv1.LineSetUp{}
	m.ProtoReflect().Range(func(f protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		one.ProtoReflect().Set(f, v)
		return true
	})
	one.Order, one.NextOrders, one.ValuePlanning = o, nil, nil
	if m.GetValuePlanning() != nil { // planning sets further rules for the order
		one.ValuePlanning = &ripwrightv1.ValuePlanning{}
	}
	l, err := SetUp(one, saws, false)
	if err != nil {
		var list fault.List
		errors.As(err, &list) // the saw is known already
		return &Line{}, list
	}
	return l, nil
}

// Coming is the order in the form of a run's books.
func (l *Line) Coming() run.Coming { return run.Coming{ID: l.OrderID, Items: l.Wanted} }

// Full reports whether nothing of the order is open in a run.
func (l *Line) Full(r *run.Run) bool {
	items := order.CloneItems(l.Items)
	r.StandOf(l.OrderID, items)
	return order.Full(items)
}

// OrderFills gives the fills of the order's items in a run: those that differ from before
// if that is given. all are all of them.
func (l *Line) OrderFills(r *run.Run, before []*ripwrightv1.Fill) (all []*ripwrightv1.Fill, told *ripwrightv1.OrderFills) {
	all = l.stand(r)
	return all, &ripwrightv1.OrderFills{OrderId: l.OrderID, Fills: changed(all, before), Full: l.Full(r)}
}

// NoFills reports whether the set-up asks for none.
func (l *Line) NoFills() bool {
	return l.detail.GetFills() == ripwrightv1.ItemDetail_ITEM_DETAIL_NONE
}
