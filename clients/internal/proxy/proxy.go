// Package proxy is a network that fails, for tests.
package proxy

import (
	"io"
	"net"
	"sync"
	"testing"
)

// Proxy stands between callers and a service, so that the service's address stays the
// same when it restarts, and simulates a failing network.
type Proxy struct {
	At string // its address

	mu      sync.Mutex
	flows   *sync.Cond
	stalled bool
	to      string
	conns   map[*net.TCPConn]bool
}

// New starts a proxy that ends with the test. It leads nowhere yet.
func New(t *testing.T) *Proxy {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	p := &Proxy{At: l.Addr().String(), conns: map[*net.TCPConn]bool{}}
	p.flows = sync.NewCond(&p.mu)
	t.Cleanup(func() {
		_ = l.Close()
		p.Stall(false)
		p.Cut()
	})
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go p.serve(c.(*net.TCPConn))
		}
	}()
	return p
}

// Point sets where new connections lead. Empty: nowhere.
func (p *Proxy) Point(to string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.to = to
}

// Stall holds back every byte while on.
func (p *Proxy) Stall(on bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.stalled = on
	p.flows.Broadcast()
}

// Cut resets every connection.
func (p *Proxy) Cut() {
	p.mu.Lock()
	defer p.mu.Unlock()
	for c := range p.conns {
		reset(c)
	}
}

func reset(c *net.TCPConn) {
	_ = c.SetLinger(0) // it is closed in either case
	_ = c.Close()
}

func (p *Proxy) serve(in *net.TCPConn) {
	p.mu.Lock()
	to := p.to
	p.mu.Unlock()
	out, err := net.Dial("tcp", to)
	if to == "" || err != nil {
		reset(in)
		return
	}
	ends := [2]*net.TCPConn{in, out.(*net.TCPConn)}
	p.mu.Lock()
	for _, c := range ends {
		p.conns[c] = true
	}
	p.mu.Unlock()
	var ways sync.WaitGroup
	for i := range ends {
		ways.Go(func() {
			p.copy(ends[i], ends[1-i])
			reset(ends[0])
			reset(ends[1])
		})
	}
	ways.Wait()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range ends {
		delete(p.conns, c)
	}
}

func (p *Proxy) copy(to io.Writer, from io.Reader) {
	b := make([]byte, 32<<10)
	for {
		n, err := from.Read(b)
		p.mu.Lock()
		for p.stalled {
			p.flows.Wait()
		}
		p.mu.Unlock()
		if _, wrong := to.Write(b[:n]); err != nil || wrong != nil {
			return
		}
	}
}
