package service

import (
	"context"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/refuse"
)

// gate bounds how many boards are solved at once and how many wait.
type gate struct {
	slots   chan struct{}
	waiting atomic.Int64
	most    int64
}

// retryAfter is about the time in which a full queue of live boards empties.
const retryAfter = 50 * time.Millisecond

func newGate(slots, waiting int) *gate {
	return &gate{slots: make(chan struct{}, slots), most: int64(waiting)}
}

// enter waits for a slot. The caller calls leave once for each nil error. The
// error of a full queue is RESOURCE_EXHAUSTED, that of a caller who gave up or
// ran out of time its own status.
func (g *gate) enter(ctx context.Context) error {
	select {
	case g.slots <- struct{}{}:
		return nil
	default:
	}
	defer g.waiting.Add(-1)
	if g.waiting.Add(1) > g.most {
		return refuse.Busy(retryAfter)
	}
	select {
	case g.slots <- struct{}{}:
		return nil
	case <-ctx.Done():
		return status.FromContextError(ctx.Err()).Err()
	}
}

func (g *gate) leave() { <-g.slots }
