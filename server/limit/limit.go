// Package limit bounds what callers can take of the service before they are
// listened to: connections, and calls under way from their first header to the
// last byte of their answer, by caller and in total. What it refuses costs next
// to nothing: no message is read.
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
	Receive                        time.Duration // a request has to have come within; 0: 30 s
	Send                           time.Duration // each piece of an HTTP answer has to be taken within; 0: 30 s
	Room                           *memory.Room  // what calls hold, up to the end of their answers; nil: any amount
	Way                            *memory.Room  // what requests hold that are still coming; nil: any amount
}

// patience is how long a request may take to come and an answer to be taken,
// which is what the HTTP side allows too.
const patience = 30 * time.Second

// retryAfter is what refused callers are told to wait.
const retryAfter = 100 * time.Millisecond

// The limits by name, for metrics.
const (
	calls             = "calls"
	callerCalls       = "caller_calls"
	connections       = "connections"
	callerConnections = "caller_connections"
)

// health stands before a caller that asks for the service's health: it has a share
// of its own for that, and gets through when all else is taken.
const health = "health "

// Watcher is told what is refused, for metrics.
type Watcher interface {
	TurnedAway(caller, limit string)
}

// Limits is used by any number of goroutines. A nil one has none.
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
	minute  time.Time // zero: none was refused
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

// SendWithin is how long a piece of an HTTP answer may take to be taken.
func (l *Limits) SendWithin() time.Duration {
	if l == nil {
		return patience
	}
	return l.cfg.Send
}

// Enter begins a call, which Leave ends once for each nil error.
func (l *Limits) Enter(caller string) error {
	if l == nil {
		return nil
	}
	_, err := l.enter(caller)
	return err
}

// mostTold is how many refused calls of one caller in a minute are told why.
const mostTold = 6000

// enter is Enter that tells whether the caller was refused so often that it need
// not be told any more.
func (l *Limits) enter(caller string) (told bool, err error) {
	l.mu.Lock()
	h := l.by[caller]
	limit, says, turn := "", "", refuse.Busy
	switch {
	case l.cfg.CallerCalls > 0 && h != nil && h.calls >= l.cfg.CallerCalls:
		limit, says, turn = callerCalls, fmt.Sprintf("one caller may have %d calls under way; this one has as many", h.calls), refuse.Share
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
