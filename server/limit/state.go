package limit

import (
	"strings"

	"github.com/ripwright/ripwright/server/caller"
)

// State is what callers use of the service. A limit of 0 is none.
type State struct {
	Calls, MostCalls             int
	Connections, MostConnections int
	CallerCalls                  int // the limit of each
	// The callers with most calls under way, lines included.
	Callers []caller.Count
}

// State reports the use, with at most that many of the callers.
func (l *Limits) State(callers int) State {
	l.mu.Lock()
	s := State{Calls: l.calls, MostCalls: l.cfg.Calls, Connections: l.connections, MostConnections: l.cfg.Connections, CallerCalls: l.cfg.CallerCalls}
	calls := make([]caller.Count, 0, len(l.by))
	for name, h := range l.by {
		if !strings.HasPrefix(name, health) {
			calls = append(calls, caller.Count{Caller: name, N: h.calls})
		}
	}
	l.mu.Unlock()
	s.Callers = caller.Most(calls, callers)
	return s
}
