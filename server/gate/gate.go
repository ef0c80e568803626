// Package gate bounds how much work is done at once and how much waits for its turn.
// Callers wait in separate lines and take turns: a caller that sends much waits behind
// itself, and others do not wait behind it.
package gate

import (
	"context"
	"slices"
	"sync"
	"time"

	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/refuse"
)

// Gate may be used by any number of goroutines. While any wait, all slots are taken: a
// caller that leaves hands its slot on.
type Gate struct {
	slots, most, each int
	what              string // that waits
	retry             time.Duration
	refused           func(caller string, own bool)

	mu             sync.Mutex
	taken, waiting int
	lines          map[string][]chan struct{} // those that wait, by caller; closed: it is their turn
	turn           []string                   // callers that wait, the next in turn first
}

// New makes a gate with a number of slots and of places to wait. Callers that are refused
// are told what is too many, and to try again after retry, about the time in which a full
// queue empties.
func New(slots, waiting int, what string, retry time.Duration) *Gate {
	return &Gate{slots: slots, most: waiting, each: waiting, what: what, retry: retry, refused: func(string, bool) {}, lines: map[string][]chan struct{}{}}
}

// Share bounds how many of one caller may wait. refused is told which caller is refused,
// and whether for its own share.
func (g *Gate) Share(most int, refused func(caller string, own bool)) *Gate {
	g.each, g.refused = most, refused
	return g
}

// Enter waits for a slot, on behalf of the context's caller. After each nil error the
// caller calls Leave once. The error of a full queue is RESOURCE_EXHAUSTED; a caller that
// gave up or ran out of time gets its own status.
func (g *Gate) Enter(ctx context.Context) error {
	name := caller.Of(ctx)
	turn, err := g.wait(name)
	if turn == nil {
		return err
	}
	select {
	case <-turn:
		return nil
	case <-ctx.Done():
		g.giveUp(name, turn)
		return status.FromContextError(ctx.Err()).Err()
	}
}

// wait takes a slot, or a place in the caller's line, or neither.
func (g *Gate) wait(name string) (turn chan struct{}, err error) {
	if g.Try() {
		return nil, nil
	}
	g.mu.Lock()
	line := g.lines[name]
	switch {
	case g.taken < g.slots: // just now
		g.taken++
		g.mu.Unlock()
		return nil, nil
	case g.waiting >= g.most || len(line) >= g.each:
		own := g.waiting < g.most
		g.mu.Unlock()
		g.refused(name, own)
		if own {
			return nil, refuse.Share("too many "+g.what+" of this caller are waiting", g.retry)
		}
		return nil, refuse.Busy("too many "+g.what+" are waiting", g.retry)
	}
	defer g.mu.Unlock()
	turn = make(chan struct{})
	if len(line) == 0 {
		g.turn = append(g.turn, name)
	}
	g.lines[name] = append(line, turn)
	g.waiting++
	return turn, nil
}

// giveUp leaves the line, or hands on the slot that has just come.
func (g *Gate) giveUp(name string, turn chan struct{}) {
	g.mu.Lock()
	defer g.mu.Unlock()
	i := slices.Index(g.lines[name], turn)
	if i < 0 {
		g.leave()
		return
	}
	g.shorten(name, slices.Delete(g.lines[name], i, i+1))
}

// shorten replaces a line by a shorter one.
func (g *Gate) shorten(name string, line []chan struct{}) {
	g.waiting--
	if g.lines[name] = line; len(line) == 0 {
		delete(g.lines, name)
		g.turn = slices.DeleteFunc(g.turn, func(n string) bool { return n == name })
	}
}

// Try takes a slot if one is free.
func (g *Gate) Try() bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.taken == g.slots {
		return false
	}
	g.taken++
	return true
}

// Leave gives a slot back.
func (g *Gate) Leave() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.leave()
}

func (g *Gate) leave() {
	if len(g.turn) == 0 {
		g.taken--
		return
	}
	// The caller whose turn it was goes behind the others.
	name := g.turn[0]
	g.turn = append(g.turn[1:], name)
	line := g.lines[name]
	close(line[0])
	g.shorten(name, line[1:])
}

// Waiting is how many wait.
func (g *Gate) Waiting() int64 {
	g.mu.Lock()
	defer g.mu.Unlock()
	return int64(g.waiting)
}

// State is how full a gate is.
type State struct {
	Busy, Slots      int
	Waiting, MayWait int
	// The callers with most waiting.
	Callers []caller.Count
}

// State reports how full the gate is, with at most that many of the callers that wait.
func (g *Gate) State(callers int) State {
	g.mu.Lock()
	s := State{Busy: g.taken, Slots: g.slots, Waiting: g.waiting, MayWait: g.most}
	waiting := make([]caller.Count, 0, len(g.lines))
	for name, line := range g.lines {
		waiting = append(waiting, caller.Count{Caller: name, N: len(line)})
	}
	g.mu.Unlock()
	s.Callers = caller.Most(waiting, callers)
	return s
}

// Slots is how many there are.
func (g *Gate) Slots() int { return g.slots }

// Taken is how many slots are in use.
func (g *Gate) Taken() int {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.taken
}
