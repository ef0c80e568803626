package line

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/overlap"
	"github.com/ripwright/ripwright/solver/run"
)

// maxBefore bounds the orders of a run before the one in force.
const maxBefore = 64

// follows reports whether orders wait in the run, or have waited.
func (s *session) follows() bool { return len(s.line.Next) > 0 || len(s.before) > 0 }

// orders are all of them, in their sequence.
func (s *session) orders() []*wire.Line {
	return slices.Concat(s.before, []*wire.Line{s.line}, s.line.Next)
}

// turn puts the first order into force of which anything is open. If there is none, the
// one in force stays. Orders that the saw in force cannot rip, earlier ones, are passed
// over; the error is any other reason that an order cannot be read.
func (s *session) turn(ctx context.Context) error {
	if !s.follows() {
		return nil
	}
	all := s.orders()
	for i, l := range all {
		if l.Full(s.run) {
			continue
		}
		if l == s.line {
			return nil
		}
		next := proto.CloneOf(s.setUp)
		next.Order, next.NextOrders = l.Order, nil
		for _, later := range all[i+1:] {
			next.NextOrders = append(next.NextOrders, later.Order)
		}
		now, err := s.again(next)
		var faults fault.List
		if errors.As(err, &faults) {
			continue
		}
		if err != nil {
			return err
		}
		was := s.line.OrderID
		s.run.Order, s.before, s.turned = now.OrderID, all[max(i-maxBefore, 0):i:i], true
		s.adopt(next, now)
		s.ordered(ctx, was)
		return nil
	}
	return nil
}

// join makes a board serve the next order too, if so little is left of the one in force
// that the set-up asks for it.
func (s *session) join(j *wire.Job) {
	if s.line.OverlapFrom == 0 || j.Instructed() != nil || !overlap.Nearly(j.Problem.Items, &j.Problem.Board, s.line.OverlapFrom) {
		return
	}
	if next := s.served(); next != nil {
		items := order.CloneItems(next.Items)
		s.run.StandOf(next.OrderID, items)
		if j.Join(next, items) {
			s.counts(next)
		}
	}
}

// served is the order that boards may serve in addition to the one in force: the first
// waiting one of which anything is open; nil if there is none or boards serve one order.
func (s *session) served() *wire.Line {
	if s.line.OverlapFrom > 0 {
		if next := s.follower(); next != nil {
			return next
		}
	}
	return nil
}

// follower is the first waiting order of which anything is open, or nil.
func (s *session) follower() *wire.Line {
	for _, next := range s.line.Next {
		if !next.Full(s.run) {
			return next
		}
	}
	return nil
}

// counts reports to metrics how another order that boards serve stands.
func (s *session) counts(l *wire.Line) {
	made := order.CloneItems(l.Items)
	s.run.StandConfirmedOf(l.OrderID, made)
	s.cfg.Watch.Stands(s.caller, l, made)
}

// await makes other orders wait.
func (s *session) await(m *ripwrightv1.NextOrders) error {
	next := proto.CloneOf(s.setUp)
	next.NextOrders = m.GetOrders()
	l, err := s.again(next)
	if err == nil {
		err = s.awaits(l)
	}
	var list fault.List
	if errors.As(err, &list) {
		for i := range list {
			if rest, in := strings.CutPrefix(list[i].Path, "next_orders"); in {
				list[i].Path = "next_orders.orders" + rest
			}
		}
		return list
	}
	if err == nil {
		s.adopt(next, l)
		s.prices.drop() // another order may come under that name
		s.prices.course.Ahead = nil
	}
	return err
}

// reread reads the orders before for another saw. An order that the saw cannot rip is
// reported only in the summary's totals.
func (s *session) reread() {
	var before []*wire.Line
	for _, b := range s.before {
		if l, faults := wire.Following(s.setUp, b.Order, s.cfg.Saws); len(faults) == 0 {
			before = append(before, l)
		}
	}
	s.before, s.head = before, nil
}

// awaits makes the run keep the books of the orders that wait by a set-up.
func (s *session) awaits(l *wire.Line) error {
	var wrong fault.List
	var all []run.Coming
	for i, next := range l.Next {
		if slices.ContainsFunc(s.before, func(b *wire.Line) bool { return b.OrderID == next.OrderID }) {
			wrong.Because(fault.Duplicate, fmt.Sprintf("next_orders[%d].order_id", i), "is %q, an order that the run had before; send it as order_change to continue it", next.OrderID)
		}
		all = append(all, next.Coming())
	}
	if len(wrong) > 0 {
		return wrong
	}
	i, faults := s.run.Await(all)
	wrong.Within(fmt.Sprintf("next_orders[%d]", i), faults)
	return wrong.Err()
}

// others reports the fills of the other orders.
func (s *session) others(out *ripwrightv1.RunLineResponse, whole bool) {
	if !s.follows() {
		s.told = nil
		return
	}
	out.OrderId = s.line.OrderID
	if s.line.NoFills() {
		return
	}
	if whole {
		s.told = nil
	}
	told := map[string][]*ripwrightv1.Fill{}
	for i, l := range s.orders() {
		if l == s.line {
			continue
		}
		all, o := l.OrderFills(s.run, s.told[l.OrderID])
		told[l.OrderID] = all
		o.Waits = i > len(s.before)
		if !whole && len(o.GetFills()) > 0 && s.line.OverlapFrom > 0 {
			s.counts(l)
		}
		if whole || len(o.GetFills()) > 0 {
			out.OtherOrders = append(out.OtherOrders, o)
		}
	}
	s.told = told
}

// summed adds how each order stands to a summary.
func (s *session) summed(m *ripwrightv1.RunSummary) *ripwrightv1.RunSummary {
	for _, b := range m.GetBays().GetLumber() {
		for _, l := range s.orders() {
			if l.OrderID == b.GetOrderId() {
				l.Lumber(s.run, b)
			}
		}
	}
	if s.follows() {
		for i, l := range s.orders() {
			_, o := l.OrderFills(s.run, nil)
			o.Waits = i > len(s.before)
			m.Orders = append(m.Orders, o)
		}
	}
	return m
}

// full reports whether nothing is open, in the order in force or the others.
func (s *session) full() bool {
	return !slices.ContainsFunc(s.orders(), func(l *wire.Line) bool { return !l.Full(s.run) })
}
