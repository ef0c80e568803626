// Package gate bounds how many pieces of work are done at once and how many wait
// for their turn.
package gate

import (
	"context"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/refuse"
)

// Gate is used by any number of goroutines.
type Gate struct {
	slots   chan struct{}
	waiting atomic.Int64
	most    int64
	full    string // what is said where no more may wait
	retry   time.Duration
}

// New makes a gate with so many slots at which so many may wait. Who is turned
// away is told what is too many and to try again after retry, about the time in
// which a full queue empties.
func New(slots, waiting int, what string, retry time.Duration) *Gate {
	return &Gate{slots: make(chan struct{}, slots), most: int64(waiting), full: "too many " + what + " are waiting", retry: retry}
}

// Enter waits for a slot. The caller calls Leave once for each nil error. The
// error of a full queue is RESOURCE_EXHAUSTED, that of a caller who gave up or
// ran out of time its own status.
func (g *Gate) Enter(ctx context.Context) error {
	if g.Try() {
		return nil
	}
	defer g.waiting.Add(-1)
	if g.waiting.Add(1) > g.most {
		return refuse.Busy(g.full, g.retry)
	}
	select {
	case g.slots <- struct{}{}:
		return nil
	case <-ctx.Done():
		return status.FromContextError(ctx.Err()).Err()
	}
}

// Try takes a slot if one is free.
func (g *Gate) Try() bool {
	select {
	case g.slots <- struct{}{}:
		return true
	default:
		return false
	}
}

// Leave gives a slot back.
func (g *Gate) Leave() { <-g.slots }

// Waiting is how many wait.
func (g *Gate) Waiting() int64 { return g.waiting.Load() }

// Slots is how many there are.
func (g *Gate) Slots() int { return cap(g.slots) }

// Taken is how many slots are in use.
func (g *Gate) Taken() int { return len(g.slots) }
