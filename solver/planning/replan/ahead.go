package replan

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
)

// Ahead is values for the next order, planned while the current one is cut.
type Ahead struct {
	Order string
	Set   *Set  // nil: planning gave none
	Tried int64 // boards seen when that planning began
}

// DueAhead reports whether it is time to plan values for the next order.
func (c *Course) DueAhead(id string, every int64) bool {
	return len(c.Sample.Boards) > 0 && (c.Ahead == nil || c.Ahead.Order != id || c.Sample.Seen-c.Ahead.Tried >= every)
}

// TaskAhead is Task for the next order: its dues count from its start.
func (c *Course) TaskAhead(s saw.Saw, items []order.Item, rules map[string]values.Rule, lost int64) *Task {
	later := *c
	later.Since = c.Sample.Seen
	return later.Task(s, items, rules, lost)
}

// TakeAhead keeps the result of a task for the next order.
func (c *Course) TakeAhead(id string, t *Task, s *Set) {
	if s == nil && c.Ahead != nil && c.Ahead.Order == id {
		s = c.Ahead.Set
	}
	c.Ahead = &Ahead{Order: id, Set: s, Tried: t.Seen}
}

// Begin is Ordered for another order. It puts into force the values planned ahead for it,
// if any; nothing is then replanned at once.
func (c *Course) Begin(id string) {
	ahead := c.Ahead
	c.Ordered(true)
	if ahead == nil || ahead.Order != id || ahead.Set == nil {
		return
	}
	c.Planned++
	c.Force, c.Tried, c.Now = ahead.Set, ahead.Tried, false
	c.Force.Number = c.Planned
}
