package line

import (
	"context"
	"errors"
	"slices"
	"strings"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
)

// order puts another order into force.
func (s *session) order(ctx context.Context, m *ripwrightv1.OrderChange) error {
	next := proto.CloneOf(s.setUp)
	next.Order = m.GetOrder()
	l, err := s.again(next)
	if err != nil {
		return under("order_change", err, "order")
	}
	var below fault.List
	if below.Within("order_change", l.BeginAnew(m.GetBeginAnew())); len(below) > 0 {
		return below
	}
	if below.Within("order_change.order", s.run.SetOrder(l.OrderID, l.Wanted)); len(below) > 0 {
		return below
	}
	before := s.line.OrderID
	s.adopt(next, l)
	s.before = slices.DeleteFunc(s.before, func(b *wire.Line) bool { return b.OrderID == l.OrderID })
	s.ordered(ctx, before)
	return nil
}

// saw puts another saw into force.
func (s *session) saw(ctx context.Context, m *ripwrightv1.SawChange) error {
	next, name := proto.CloneOf(s.setUp), ""
	switch c := m.GetSawChoice().(type) {
	case *ripwrightv1.SawChange_Saw:
		next.SawChoice = &ripwrightv1.LineSetUp_Saw{Saw: c.Saw}
	case *ripwrightv1.SawChange_SawName:
		next.SawChoice = &ripwrightv1.LineSetUp_SawName{SawName: c.SawName}
		name = c.SawName
	default:
		next.SawChoice = nil
	}
	next.CurrentSetting = m.GetCurrentSetting()
	l, err := s.again(next)
	if err != nil {
		return under("saw_change", err, "saw", "current_setting")
	}
	l.SawName = name
	if before := s.line.Saw.ArborFingerprint(); before != l.Saw.ArborFingerprint() {
		s.released = s.run.NewArbor()
	}
	s.adopt(next, l)
	s.reread()
	s.run.NewSaw()
	s.sawn(ctx)
	return nil
}

// under moves the paths of faults that begin with one of these fields below the part of
// the message that holds them. Other faults are of the set-up.
func under(part string, err error, fields ...string) error {
	var list, below fault.List
	if !errors.As(err, &list) {
		return err
	}
	for _, f := range list {
		if slices.ContainsFunc(fields, func(field string) bool { return strings.HasPrefix(f.Path, field) }) {
			f.Path = part + "." + f.Path
		}
		below = append(below, f)
	}
	return below
}

// again reads a set-up of which a part has changed. The saw's name stays.
func (s *session) again(m *ripwrightv1.LineSetUp) (*wire.Line, error) {
	l, err := wire.SetUp(m, s.cfg.Saws, false)
	if err != nil {
		return nil, err
	}
	if l.SawName == "" {
		l.SawName = s.line.SawName
	}
	return l, nil
}
