package instructed

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Narrowed gives the problem without forbidden items and with each locked axis at one
// stop.
func Narrowed(p *rip.Problem, n *Instructions) *rip.Problem {
	q := *p
	q.Items = order.CloneItems(p.Items)
	for _, i := range n.Forbidden {
		off(&q.Items[i])
	}
	q.Saw.Blades = slices.Clone(p.Saw.Blades)
	for _, l := range n.Locks {
		if t := axis(&q.Saw, l.Axis); t != nil {
			t.Min = stop(p, l)
			t.Max, t.Locked = t.Min, true
		}
	}
	return &q
}

// axis is the travel of the fence or of a moving blade; nil for a fixed one.
func axis(s *saw.Saw, i int) *saw.Travel {
	switch {
	case i == FenceAxis:
		return &s.Fence
	case s.Blades[i].Moving:
		return &s.Blades[i].Travel
	}
	return nil
}

// stop is where a locked axis stands.
func stop(p *rip.Problem, l Lock) unit.Length {
	t := axis(&p.Saw, l.Axis)
	switch {
	case t == nil:
		return p.Saw.Blades[l.Axis].At
	case l.Given:
		return l.At
	}
	lo, hi := p.Saw.StepUp(t.Min), p.Saw.StepDown(t.Max)
	at := p.Saw.StepDown(t.Current + p.Saw.Step/2)
	return min(max(at, lo), hi)
}

// Faults lists what is wrong with instructions for a problem that is free of faults.
// Paths are locks[i], locks[i].at_mm and so on, in the order of the locks.
func (n *Instructions) Faults(p *rip.Problem) fault.List {
	var l fault.List
	s := p.Saw
	s.Blades = slices.Clone(s.Blades)
	for i, k := range n.Locks {
		t := axis(&s, k.Axis)
		path := fmt.Sprintf("locks[%d].at_mm", i)
		switch {
		case t == nil:
			if at := s.Blades[k.Axis].At; k.Given && k.At != at {
				l.Add(path, "is %g; this blade is fixed at %g", k.At.MM(), at.MM())
			}
			continue
		case k.Given && (k.At < t.Min || k.At > t.Max):
			l.Add(path, "is %g; must lie within the travel, %g to %g", k.At.MM(), t.Min.MM(), t.Max.MM())
			continue
		case k.Given && k.At%s.Step != 0:
			l.Add(path, "is %g; stops are whole multiples of %g", k.At.MM(), s.Step.MM())
			continue
		}
		t.Min = stop(p, k)
		t.Max, t.Locked = t.Min, true
		// The saw had no faults, and the lock is at a stop within the travel: what is left is
		// the order of the blades.
		if len(s.Faults()) > 0 {
			l.Add(fmt.Sprintf("locks[%d]", i), "locks an axis at %g, where the blades cannot all stand in their order with the least gap of %g between neighbours",
				t.Min.MM(), s.Gap.MM())
			break
		}
	}
	return l
}
