package line

import (
	"sync"

	"github.com/ripwright/ripwright/solver/run"
)

// clocks remember until when the time of the latest runs was counted, for a limited
// number of runs.
type clocks struct {
	mu    sync.Mutex
	until map[string]run.Moment
	ring  []string // oldest at next
	next  int
}

func newClocks(most int) *clocks {
	return &clocks{until: make(map[string]run.Moment), ring: make([]string, most)}
}

// since records that the time of a run is counted until to, and gives the moment from
// which it had not been counted.
func (c *clocks) since(name string, from, to run.Moment) run.Moment {
	c.mu.Lock()
	defer c.mu.Unlock()
	before, known := c.until[name]
	if !known {
		delete(c.until, c.ring[c.next])
		c.ring[c.next] = name
		c.next = (c.next + 1) % len(c.ring)
	}
	c.until[name] = max(before, to)
	if !known {
		return from
	}
	return min(max(before, from), to)
}
