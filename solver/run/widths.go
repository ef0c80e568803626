package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/fault"
)

// pocketFaults lists what is wrong with the pocket that strip i of a confirmation names.
func (h *Held) pocketFaults(l *fault.List, c *Confirmation, i int) {
	pocket := c.Strips[i].Pocket
	switch {
	case c.Outcome != AsMeasured:
		l.Add("pocket", "is %d; must be absent unless the board was cut as planned and measured", pocket-1)
	case slices.ContainsFunc(c.Strips[:i], func(m Measured) bool { return m.Pocket == pocket }):
		l.Because(fault.Duplicate, "pocket", "is %d, as that of a strip before; a pocket gives one strip", pocket-1)
	case h.tellsPockets() && h.from(pocket) == nil:
		l.Because(fault.UnknownName, "pocket", "is %d; the plan has no strip in a pocket of that index", pocket-1)
	}
}

// tellsPockets reports whether the pockets of the plan's strips are known.
func (h *Held) tellsPockets() bool {
	return len(h.Ways) > 0 && (len(h.Ways[0].Strips) == 0 || h.Ways[0].Strips[0].From.Pocket > 0)
}

// from is the plan's strip in a pocket, or nil.
func (h *Held) from(pocket int) *Strip {
	for i := range h.Ways[0].Strips {
		if s := &h.Ways[0].Strips[i]; s.From.Pocket == pocket {
			return s
		}
	}
	return nil
}

// orderOf is the order that a measured strip counts for, as for Strip: the given one, or
// otherwise that of the plan's strip of the same item in its pocket.
func (h *Held) orderOf(m *Measured) string {
	switch {
	case m.Order == h.Order:
		return ""
	case m.Order != "" || m.Pocket == 0:
		return m.Order
	}
	if from := h.from(m.Pocket); from != nil && from.Item == m.Item {
		return from.Order
	}
	return ""
}

// Watch starts watching widths by these settings, unless they are watched already.
func (r *Run) Watch(s drift.Settings) {
	if r.Drift == nil {
		r.Drift = &drift.Watch{Settings: s}
	}
}

// watch counts the widths of strips whose pockets are known. Charts restart after a
// change of blades; a board that was planned for another saw says nothing about this
// one's.
func (r *Run) watch(h *Held, c *Confirmation, s *Settled) {
	if r.Drift == nil || c.Outcome != AsMeasured || h.Sequence <= r.Known.Saw {
		return
	}
	for i := range c.Strips {
		m := &c.Strips[i]
		of := h.from(m.Pocket)
		if m.Pocket == 0 || of == nil {
			continue
		}
		if r.Drift.Changed != h.BladesChanged {
			r.Drift.Anew(h.BladesChanged)
		}
		w := drift.Strip{Near: of.From.Near, Far: of.From.Far, Planned: of.Width, Measured: m.Width}
		s.Widths = append(s.Widths, w)
		if t, ok := r.Drift.Add(w); ok {
			s.Turns = append(s.Turns, t)
		}
	}
}
