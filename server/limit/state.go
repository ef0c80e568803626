package limit

import (
	"cmp"
	"slices"
	"strings"
)

// State is what callers have of the service. A limit of 0 is none.
type State struct {
	Calls, MostCalls             int
	Connections, MostConnections int
	CallerCalls                  int // the limit of each
	// Callers with calls under way, those with most before others.
	Callers []Calls
}

// Calls is how many calls of a caller are under way, lines among them.
type Calls struct {
	Caller string
	Calls  int
}

// State tells it, and of so many callers.
func (l *Limits) State(callers int) State {
	l.mu.Lock()
	s := State{Calls: l.calls, MostCalls: l.cfg.Calls, Connections: l.connections, MostConnections: l.cfg.Connections, CallerCalls: l.cfg.CallerCalls}
	for name, h := range l.by {
		if !strings.HasPrefix(name, health) {
			s.Callers = append(s.Callers, Calls{name, h.calls})
		}
	}
	l.mu.Unlock()
	slices.SortFunc(s.Callers, func(a, b Calls) int {
		return cmp.Or(cmp.Compare(b.Calls, a.Calls), cmp.Compare(a.Caller, b.Caller))
	})
	s.Callers = s.Callers[:min(callers, len(s.Callers))]
	return s
}
