package replan

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
)

// Limits on the texts of a Course, in bytes: they are sent back to the caller.
const (
	maxWhy = 200
	maxID  = 4 * 128
)

// Faults lists what breaks the invariants. A Course that was read back is checked before
// it is used.
func (c *Course) Faults() fault.List {
	var l fault.List
	l.Within("sample", c.Sample.Faults())
	if c.Tried < 0 || c.Tried > c.Sample.Seen || c.Since < 0 || c.Since > c.Sample.Seen || c.Moved < 0 || c.Moved > c.Sample.Seen || c.Planned < 0 || c.Failed < 0 || len(c.Why) > maxWhy {
		l.Add("tried", "is out of bounds")
	}
	if len(c.Last) > order.MaxItems || len(c.Left) > order.MaxItems {
		l.Add("last", "is out of bounds")
	}
	bounded(&l, "last", c.Last)
	bounded(&l, "left", c.Left)
	if a := c.Ahead; a != nil {
		if len(a.Order) > maxID || a.Tried < 0 || a.Tried > c.Sample.Seen {
			l.Add("ahead", "is out of bounds")
		}
		if a.Set != nil {
			l.Within("ahead.set", a.Set.faults(c))
		}
	}
	if c.Force == nil {
		return l
	}
	if c.Force.Number < 1 || c.Force.Number > c.Planned {
		l.Add("force", "is out of bounds")
	}
	l.Within("force", c.Force.faults(c))
	return l
}

// faults are those of the values of a course.
func (s *Set) faults(c *Course) (l fault.List) {
	if s.Seen < 0 || s.Seen > c.Sample.Seen ||
		!(s.PerFace >= 0 && s.PerFace <= mostPerFace) || len(s.Items) > order.MaxItems || len(s.Late) > order.MaxItems {
		l.Add("items", "is out of bounds")
	}
	bounded(&l, "items", s.Items)
	bounded(&l, "free", s.Free)
	if len(s.Free) > order.MaxItems || len(s.Turn) > keptTurns || len(s.Phases) > keptPhases {
		l.Add("turn", "is out of bounds")
	}
	for _, ph := range s.Phases {
		if len(ph.Stacks) > bays.Most || len(ph.Mix) > order.MaxItems || slices.ContainsFunc(ph.Mix, func(m Mix) bool { return m.Begin < 1 || m.Make < 0 || m.Make > m.Begin || len(m.Item) > maxID }) {
			l.Add("phases", "is out of bounds")
		}
	}
	for i, late := range s.Late {
		if len(late.Item) > maxID || late.Due < 1 || late.Due > order.MaxDue || late.Least < late.Due {
			l.Add(fmt.Sprintf("late[%d]", i), "is out of bounds")
		}
	}
	return l
}

func bounded(l *fault.List, name string, all []Value) {
	for i := range all {
		v := &all[i]
		bad := v.Value < 0 || v.Value > saw.MaxValue || !v.Basis.Known() ||
			len(v.Item) > maxID || len(v.Cuts) > order.MaxCuts || v.Open < 0
		for _, cut := range v.Cuts {
			bad = bad || cut.Value < 0 || cut.Value > saw.MaxValue || cut.Open < 0
		}
		if bad {
			l.Add(fmt.Sprintf("%s[%d]", name, i), "is out of bounds")
		}
	}
}

// mostPerFace limits the worth of a square metre: covered with strips of the greatest
// value, a million of them.
const mostPerFace = 1e12
