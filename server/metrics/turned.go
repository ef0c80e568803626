package metrics

import (
	"strings"
	"sync"

	"github.com/prometheus/client_golang/prometheus"
)

// maxCallers bounds the callers of each kind that have separate series: callers that can
// come from many addresses must not fill the memory, nor use up the series of those with
// tokens and certificates. The rest count as other.
const maxCallers = 50

const other = "other"

// turnedAway counts the refusals of callers, by caller and limit.
type turnedAway struct {
	*prometheus.CounterVec

	mu    sync.Mutex
	known map[string]bool
	kinds map[string]int // how many of each kind are known
}

// limits are all that callers can meet. They exist from the start, so that the first
// refusal shows as a rise.
var limits = []string{"calls", "caller_calls", "waiting", "caller_waiting", "connections", "caller_connections", "memory"}

func newTurnedAway() *turnedAway {
	t := &turnedAway{
		CounterVec: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ripwright_turned_away_total",
			Help: "Calls, boards and connections refused because a limit was reached, by caller (its token's name, its certificate's subject or its address; other where there are too many) and limit."},
			[]string{"caller", "limit"}),
		known: map[string]bool{}, kinds: map[string]int{},
	}
	for _, l := range limits {
		t.WithLabelValues(other, l)
	}
	return t
}

func (r *turnedAway) label(caller string) string {
	kind, _, _ := strings.Cut(caller, ":")
	r.mu.Lock()
	defer r.mu.Unlock()
	switch {
	case r.known[caller]:
		return caller
	case r.kinds[kind] == maxCallers:
		return other
	}
	r.kinds[kind]++
	r.known[caller] = true
	return caller
}

// TurnedAway counts the refusal of a caller by a limit.
func (m *Metrics) TurnedAway(caller, limit string) {
	if caller == "" {
		caller = "unknown"
	}
	m.turned.WithLabelValues(m.turned.label(strings.ToValidUTF8(caller, "?")), limit).Inc()
}
