package limit

import (
	"context"
	"net"
	"sync"

	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/peer"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/memory"
)

// Watch gives credentials whose connections are followed frame by frame, since only the
// connection knows two things about a call: how much of its request arrived before any of
// it was read, and whether its answer has been sent. gRPC ends a call once it has the
// answer, and keeps the answer until the other end gives room for it.
func (l *Limits) Watch(c credentials.TransportCredentials) credentials.TransportCredentials {
	return &watched{c, l}
}

type watched struct {
	credentials.TransportCredentials
	limits *Limits
}

// ServerHandshake implements credentials.TransportCredentials.
func (w *watched) ServerHandshake(raw net.Conn) (net.Conn, credentials.AuthInfo, error) {
	c, info, err := w.TransportCredentials.ServerHandshake(raw)
	if err != nil {
		return nil, nil, err
	}
	return w.limits.follow(c), info, nil
}

// Clone implements credentials.TransportCredentials.
func (w *watched) Clone() credentials.TransportCredentials {
	return &watched{w.TransportCredentials.Clone(), w.limits}
}

// little is how much of a request is not counted before it is read: the memory of the
// call itself is no less. It exempts boards of live lines.
const little = 16 << 10

// link is a connection that is followed.
type link struct {
	net.Conn
	limits *Limits

	reading frames // one goroutine reads
	writing frames // one writes

	mu     sync.Mutex
	open   map[uint32]int64 // streams whose answers are not sent; bytes received on each
	last   uint32           // the highest stream number so far
	active int              // calls that have not ended
	// ended has, for calls that have ended and whose answers may not be sent yet, what to
	// do once they are, in the order in which the calls ended. Only gRPC knows which call
	// is on which stream, but there are never more unsent answers than open streams less
	// active calls.
	ended   []func()
	waiting map[*call]struct{} // calls whose requests have not arrived whole
	came    *memory.Account    // what has arrived and is not answered
	closed  bool
}

func (l *Limits) follow(c net.Conn) *link {
	return &link{Conn: c, limits: l, reading: frames{skip: preface}, open: map[uint32]int64{}, waiting: map[*call]struct{}{},
		came: l.cfg.Way.Strict(caller.Address(c.RemoteAddr().String()))}
}

// address lets the calls on a connection find it.
type address struct {
	net.Addr
	on *link
}

// RemoteAddr implements net.Conn.
func (c *link) RemoteAddr() net.Addr { return address{c.Conn.RemoteAddr(), c} }

// linkOf is the connection of a call; nil: it is not followed.
func linkOf(ctx context.Context) *link {
	if p, ok := peer.FromContext(ctx); ok {
		if a, ok := p.Addr.(address); ok {
			return a.on
		}
	}
	return nil
}

// Read implements net.Conn.
func (c *link) Read(p []byte) (int, error) {
	n, err := c.Conn.Read(p)
	if n > 0 {
		c.mu.Lock()
		full := false
		c.reading.feed(p[:n], func(kind, _ byte, stream uint32, length int) {
			switch kind {
			case frameHeaders:
				if stream > c.last {
					c.last = stream
					c.open[stream] = 0
				}
			case frameData:
				full = !c.more(stream, int64(length)) || full
			case frameReset:
				c.drop(stream)
			}
		})
		done := c.settle()
		if full {
			c.refuse()
		}
		c.mu.Unlock()
		run(done)
	}
	return n, err
}

// Write implements net.Conn. What is being written counts as sent: it is at most one
// buffer, and a caller with the answer may have its next call here before Write returns.
func (c *link) Write(p []byte) (int, error) {
	c.mu.Lock()
	c.writing.feed(p, func(kind, flags byte, stream uint32, _ int) {
		switch {
		case kind == frameReset, (kind == frameData || kind == frameHeaders) && flags&endStream != 0:
			c.drop(stream)
		case kind == frameData: // a message is answered
			c.give(stream)
		}
	})
	done := c.settle()
	c.mu.Unlock()
	run(done)
	return c.Conn.Write(p)
}

// Close implements net.Conn.
func (c *link) Close() error {
	err := c.Conn.Close()
	c.mu.Lock()
	c.closed = true
	clear(c.open)
	c.came.Close()
	done := c.settle()
	c.mu.Unlock()
	run(done)
	return err
}

func counted(n int64) int64 { return max(n-little, 0) }

// more counts the bytes received on a stream and reports whether there is room for them.
func (c *link) more(stream uint32, n int64) bool {
	had, is := c.open[stream]
	if !is || c.closed {
		return true
	}
	c.open[stream] = had + n
	grown := counted(had+n) - counted(had)
	if grown == 0 || c.came.Take(grown) {
		return true
	}
	c.came.Force(grown) // the bytes are here already
	return false
}

func (c *link) give(stream uint32) {
	if had, is := c.open[stream]; is {
		c.came.Give(counted(had))
		c.open[stream] = 0
	}
}

func (c *link) drop(stream uint32) {
	c.give(stream)
	delete(c.open, stream)
}

// refuse ends the calls whose requests are still arriving.
func (c *link) refuse() {
	for w := range c.waiting {
		c.limits.watch.TurnedAway(w.caller, "memory")
		w.end()
	}
	clear(c.waiting)
}

// settle gives what to do for calls whose answers are sent.
func (c *link) settle() (done []func()) {
	n := max(len(c.ended)-max(len(c.open)-c.active, 0), 0)
	done, c.ended = c.ended[:n:n], c.ended[n:]
	if len(c.ended) == 0 {
		c.ended = nil
	}
	return done
}

// begin adds a call that waits for its request.
func (c *link) begin(w *call) {
	if c == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.active++
	c.waiting[w] = struct{}{}
}

// whole records that the request has arrived.
func (c *link) whole(w *call) {
	if c == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	delete(c.waiting, w)
}

// finish ends a call; left is called once its answer is sent or the connection is closed.
func (c *link) finish(w *call, left func()) {
	if c == nil {
		left()
		return
	}
	c.mu.Lock()
	c.active--
	delete(c.waiting, w)
	c.ended = append(c.ended, left)
	done := c.settle()
	c.mu.Unlock()
	run(done)
}

func run(all []func()) {
	for _, f := range all {
		f()
	}
}
