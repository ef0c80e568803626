package limit

import (
	"net"
	"sync"

	"github.com/ripwright/ripwright/server/caller"
)

// Listen gives a listener that closes connections beyond the limits at once, so that
// those behind them do not wait.
func (l *Limits) Listen(on net.Listener) net.Listener { return &listener{on, l} }

type listener struct {
	net.Listener
	limits *Limits
}

// Accept implements net.Listener.
func (l *listener) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from := caller.Address(c.RemoteAddr().String())
		if l.limits.connect(from) {
			return &conn{Conn: c, closed: sync.OnceFunc(func() { l.limits.hangUp(from) })}, nil
		}
		_ = c.Close() // nothing was sent on it
	}
}

func (l *Limits) connect(from string) bool {
	l.mu.Lock()
	limit := ""
	switch {
	case l.cfg.CallerConnections > 0 && l.from[from] >= l.cfg.CallerConnections:
		limit = callerConnections
	case l.cfg.Connections > 0 && l.connections >= l.cfg.Connections:
		limit = connections
	default:
		l.connections++
		l.from[from]++
	}
	l.mu.Unlock()
	if limit != "" {
		l.watch.TurnedAway(from, limit)
	}
	return limit == ""
}

func (l *Limits) hangUp(from string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.connections--
	if l.from[from]--; l.from[from] == 0 {
		delete(l.from, from)
	}
}

// conn reports once that it is closed.
type conn struct {
	net.Conn
	closed func()
}

// Close implements net.Conn.
func (c *conn) Close() error {
	defer c.closed()
	return c.Conn.Close()
}
