package health

import (
	"container/list"
	"net"
	"sync"
)

// newest is a listener that keeps the newest connections.
type newest struct {
	net.Listener
	most int

	mu   sync.Mutex
	open list.List // of net.Conn, the oldest first
}

// Accept implements net.Listener.
func (n *newest) Accept() (net.Conn, error) {
	c, err := n.Listener.Accept()
	if err != nil {
		return nil, err
	}
	n.mu.Lock()
	at := n.open.PushBack(c)
	var over net.Conn
	if n.open.Len() > n.most {
		over, _ = n.open.Remove(n.open.Front()).(net.Conn)
	}
	n.mu.Unlock()
	if over != nil {
		_ = over.Close() // its reader notices that it is closed
	}
	return &conn{Conn: c, gone: func() {
		n.mu.Lock()
		defer n.mu.Unlock()
		n.open.Remove(at) // no effect on one already removed as the oldest
	}}, nil
}

type conn struct {
	net.Conn
	gone func()
}

// Close implements net.Conn.
func (c *conn) Close() error {
	c.gone()
	return c.Conn.Close()
}
