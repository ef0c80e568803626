package replan

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
)

// Ahead is values for the order that comes next, planned while one before it is cut.
type Ahead struct {
	Order string
	Set   *Set  // nil: planning came to none
	Tried int64 // how many boards had been seen when that was begun
}

// DueAhead reports whether it is time to plan values for an order that comes next.
func (c *Course) DueAhead(id string, every int64) bool {
	return len(c.Sample.Boards) > 0 && (c.Ahead == nil || c.Ahead.Order != id || c.Sample.Seen-c.Ahead.Tried >= every)
}

// TaskAhead is Task for an order that comes next: its dues count from when it does.
func (c *Course) TaskAhead(s saw.Saw, items []order.Item, rules map[string]values.Rule, lost int64) *Task {
	later := *c
	later.Since = c.Sample.Seen
	return later.Task(s, items, rules, lost)
}

// TakeAhead keeps the outcome of a task for an order that comes next.
func (c *Course) TakeAhead(id string, t *Task, s *Set) {
	if s == nil && c.Ahead != nil && c.Ahead.Order == id {
		s = c.Ahead.Set
	}
	c.Ahead = &Ahead{Order: id, Set: s, Tried: t.Seen}
}

// Begin is Ordered for another order. It takes the values into force that were planned for it
// ahead, where there are any; then nothing is planned again at once.
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
