package sim

import (
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// orders are what a line knows of the successive orders of its run.
type orders struct {
	all  []*ripwrightv1.CutOrder // in their sequence
	now  *ripwrightv1.CutOrder   // in force
	of   map[int32]*ripwrightv1.CutOrder
	full map[string]bool
}

func newOrders(m *ripwrightv1.LineSetUp) orders {
	return orders{all: slices.Concat([]*ripwrightv1.CutOrder{m.GetOrder()}, m.GetNextOrders()), now: m.GetOrder(),
		of: map[int32]*ripwrightv1.CutOrder{}, full: map[string]bool{}}
}

func (o *orders) named(id string) *ripwrightv1.CutOrder {
	i := slices.IndexFunc(o.all, func(o *ripwrightv1.CutOrder) bool { return o.GetOrderId() == id })
	if i < 0 {
		return nil
	}
	return o.all[i]
}

// follow records which order an answer has in force, and which are full, and checks that
// a board is planned for the first of them that is not.
func (l *line) follow(a *ripwrightv1.RunLineResponse) {
	o := &l.orders
	if len(o.all) > 1 {
		if o.now = o.named(a.GetOrderId()); o.now == nil {
			l.report.wrong("message %d: unknown order %q is in force", a.GetSequence(), a.GetOrderId())
			return
		}
		for _, other := range a.GetOtherOrders() {
			o.full[other.GetOrderId()] = other.GetFull()
		}
	}
	if a.GetPlan() == nil {
		return
	}
	o.of[a.GetSequence()] = o.now
	l.serves(a)
	for _, before := range o.all {
		if before == o.now {
			break
		}
		if !o.full[before.GetOrderId()] {
			l.report.wrong("board %d is planned for %q while %q is open", a.GetSequence(), o.now.GetOrderId(), before.GetOrderId())
		}
	}
	if last := o.all[len(o.all)-1]; o.now != last && a.GetPlan().GetDoNotFeed().GetReason() == ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_ORDER_FULL {
		l.report.wrong("board %d is planned for %q, which is full", a.GetSequence(), o.now.GetOrderId())
	}
}

// serves checks which orders a board serves: besides its own at most one, of those that
// wait, and only if the line requested that.
func (l *line) serves(a *ripwrightv1.RunLineResponse) {
	also := ""
	for _, k := range a.GetPlan().GetPlan().GetPockets() {
		id := k.GetOrderId()
		if id == "" {
			continue
		}
		waits := false
		for _, o := range a.GetOtherOrders() {
			waits = waits || o.GetOrderId() == id && o.GetWaits() && itemOf(l.orders.named(id), k.GetItemId()) != nil
		}
		if !waits || also != "" && also != id || l.cfg.SetUp.OverlapFromBoards == nil {
			l.report.wrong("board %d: item %q of order %q cannot be cut; the board also serves %q, other orders are %v", a.GetSequence(), k.GetItemId(), id, also, a.GetOtherOrders())
		}
		also = id
	}
	if also != "" {
		l.report.Two++
	}
}
