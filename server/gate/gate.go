// Package gate bounds how many pieces of work are done at once and how many wait
// for their turn, and lets callers wait for it side by side: whoever sends much
// waits behind itself, not others behind it.
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

// Gate is used by any number of goroutines. While any wait, all slots are taken:
// who leaves hands its slot on.
type Gate struct {
	slots, most, each int
	what              string // that waits
	retry             time.Duration
	refused           func(caller string, own bool)

	mu             sync.Mutex
	taken, waiting int
	lines          map[string][]chan struct{} // those who wait, by caller; closed: it is their turn
	turn           []string                   // callers that wait, whose turn is next first
}

// New makes a gate with so many slots at which so many may wait. Who is turned
// away is told what is too many, and to try again after retry, about the time in
// which a full queue empties.
func New(slots, waiting int, what string, retry time.Duration) *Gate {
	return &Gate{slots: slots, most: waiting, each: waiting, what: what, retry: retry, refused: func(string, bool) {}, lines: map[string][]chan struct{}{}}
}

// Share lets at most so many of one caller wait. refused is told who is turned
// away, and whether for how many of its own wait.
func (g *Gate) Share(most int, refused func(caller string, own bool)) *Gate {
	g.each, g.refused = most, refused
	return g
}

// Enter waits for a slot, on behalf of the context's caller. It calls Leave once
// for each nil error. The error of a full queue is RESOURCE_EXHAUSTED, that of a
// caller who gave up or ran out of time its own status.
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

// shorten puts a line in the place of a longer one.
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
	// Callers of which most wait.
	Callers []caller.Count
}

// State tells how full the gate is, and of so many callers that wait.
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
