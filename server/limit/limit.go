// Package limit bounds what callers can take of the service before any message is read:
// connections, and calls under way from their first header to the last byte of their
// answer, by caller and in total. A refusal costs next to nothing.
package limit

import (
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
)

// Config of the limits. A limit of 0 is none.
type Config struct {
	Calls, CallerCalls             int           // under way at once, lines among them
	Connections, CallerConnections int           // open at once; of one address
	Receive                        time.Duration // within which a request must have arrived; 0: 30 s
	Send                           time.Duration // within which each piece of an HTTP answer must be read; 0: 30 s
	Room                           *memory.Room  // what calls hold, up to the end of their answers; nil: any amount
	Way                            *memory.Room  // what arriving requests hold; nil: any amount
}

// patience is how long a request may take to arrive and an answer to be read; the HTTP
// side allows the same.
const patience = 30 * time.Second

// retryAfter is how long refused callers are told to wait.
const retryAfter = 100 * time.Millisecond

// The limits by name, for metrics.
const (
	calls             = "calls"
	callerCalls       = "caller_calls"
	connections       = "connections"
	callerConnections = "caller_connections"
)

// health precedes the name of a caller that asks for the service's health: it has a
// separate share for that, and is admitted even if everything else is taken.
const health = "health "

// Watcher is told what is refused, for metrics.
type Watcher interface {
	TurnedAway(caller, limit string)
}

// Limits may be used by any number of goroutines. A nil one limits nothing.
type Limits struct {
	cfg   Config
	watch Watcher
	now   func() time.Time

	mu                 sync.Mutex
	calls, connections int
	by                 map[string]*held // callers with calls under way
	from               map[string]int   // connections by address
}

// held is what one caller has.
type held struct {
	calls   int
	refused int       // in the minute that began then
	minute  time.Time // zero: no call was refused
}

// New makes limits.
func New(cfg Config, watch Watcher, now func() time.Time) *Limits {
	if cfg.Receive == 0 {
		cfg.Receive = patience
	}
	if cfg.Send == 0 {
		cfg.Send = patience
	}
	return &Limits{cfg: cfg, watch: watch, now: now, by: map[string]*held{}, from: map[string]int{}}
}

// SendWithin is the time within which a piece of an HTTP answer must be read.
func (l *Limits) SendWithin() time.Duration {
	if l == nil {
		return patience
	}
	return l.cfg.Send
}

// Enter begins a call; call Leave once for each nil error.
func (l *Limits) Enter(caller string) error {
	if l == nil {
		return nil
	}
	_, err := l.enter(caller)
	return err
}

// mostTold is how many refused calls of one caller in a minute are given a reason.
const mostTold = 6000

// enter is Enter; told says that the caller has been given a reason often enough.
func (l *Limits) enter(caller string) (told bool, err error) {
	l.mu.Lock()
	h := l.by[caller]
	limit, says, turn := "", "", refuse.Busy
	switch {
	case l.cfg.CallerCalls > 0 && h != nil && h.calls >= l.cfg.CallerCalls:
		limit, says, turn = callerCalls, fmt.Sprintf("the caller has %d calls under way, the limit of one caller", h.calls), refuse.Share
	case l.cfg.Calls > 0 && l.calls >= l.cfg.Calls && !strings.HasPrefix(caller, health):
		limit, says = calls, "too many calls are under way"
	default:
		if h == nil {
			h = &held{}
			l.by[caller] = h
		}
		h.calls++
		l.calls++
		l.mu.Unlock()
		return false, nil
	}
	if h != nil {
		if now := l.now(); now.Sub(h.minute) > time.Minute {
			h.minute, h.refused = now, 0
		}
		h.refused++
		told = h.refused > mostTold
	}
	l.mu.Unlock()
	l.watch.TurnedAway(caller, limit)
	return told, turn(says, retryAfter)
}

// Leave ends a call.
func (l *Limits) Leave(caller string) {
	if l == nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.calls--
	h := l.by[caller]
	if h.calls--; h.calls == 0 {
		delete(l.by, caller)
	}
}
