package standin

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"sync"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// Conn is a connection to a PLC in memory that fails as networks do.
type Conn struct {
	PLC *PLC
	// Fails is the frequency of failing requests, half of which take effect; Slow, that of
	// slow ones.
	Fails, Slow float64

	mu  sync.Mutex
	rng *rand.Rand
}

// Dial connects.
func (p *PLC) Dial(seed uint64, fails, slow float64) *Conn {
	return &Conn{PLC: p, Fails: fails, Slow: slow, rng: rand.New(rand.NewPCG(seed, 2))}
}

func (c *Conn) fate() (before, after bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.rng.Float64() < c.Slow {
		time.Sleep(time.Duration(c.rng.IntN(30)) * time.Millisecond)
	}
	if c.rng.Float64() >= c.Fails {
		return false, false
	}
	return c.rng.IntN(2) == 0, true
}

// Read gives words that belong together.
func (c *Conn) Read(_ context.Context, names ...string) (plc.Values, error) {
	if _, fails := c.fate(); fails {
		return nil, plc.ErrGone
	}
	c.PLC.mu.Lock()
	defer c.PLC.mu.Unlock()
	v := plc.Values{}
	for _, n := range names {
		x, ok := c.PLC.words[n]
		if !ok {
			return nil, fmt.Errorf("no %s", n)
		}
		v[n] = x
	}
	return v, nil
}

// Write writes words together.
func (c *Conn) Write(_ context.Context, values plc.Values) error {
	before, fails := c.fate()
	if before {
		return plc.ErrGone
	}
	c.PLC.mu.Lock()
	for n := range values {
		if w, ok := contract.Named(n); !ok || !w.Ours {
			c.PLC.Wrong = append(c.PLC.Wrong, "the bridge writes "+n)
		}
	}
	maps.Copy(c.PLC.words, values)
	c.PLC.mu.Unlock()
	if fails {
		return plc.ErrGone
	}
	return nil
}

// Has reports whether there is a word: all except the thickness and the boots of results.
func (c *Conn) Has(name string) bool {
	return name != contract.Thickness && name != contract.ResultBoot
}

// Entries gives how many an array has.
func (c *Conn) Entries(name string) int {
	if name == contract.PlanWidths {
		return 12
	}
	return 0
}

// Close ends it.
func (c *Conn) Close() error { return nil }
