package faults

import (
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/proxy"
	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// plant is some replicas, each behind its own proxy.
type plant struct {
	t       *testing.T
	program string
	args    []string

	mu    sync.Mutex
	sites []*site
	hit   map[string]int // faults by kind
}

type site struct {
	*proxy.Proxy
	up      bool // takes calls; at least one always does
	replica *replicas.Replica
}

// small makes a replica's queue small enough for a flood to fill.
var small = []string{"--solves", "1", "--waiting", "8", "--drain-delay", "400ms", "--drain", "20s"}

func open(t *testing.T, program string, n int, args ...string) *plant {
	t.Helper()
	p := &plant{t: t, program: program, args: args, hit: map[string]int{}}
	for range n {
		s := &site{Proxy: proxy.New(t), up: true}
		p.sites = append(p.sites, s)
		p.start(s)
	}
	t.Cleanup(func() {
		for _, s := range p.sites {
			s.replica.Continue()
			s.replica.Kill()
		}
	})
	return p
}

// start starts a replica at a site.
func (p *plant) start(s *site) {
	r, err := replicas.Launch(p.program, p.args...)
	if err != nil {
		p.t.Error(err)
		return
	}
	s.replica = r
	s.Point(r.GRPC)
}

// addresses are those that callers know.
func (p *plant) addresses() (all []string) {
	for _, s := range p.sites {
		all = append(all, s.At)
	}
	return all
}

// take gives a site that may go down while another stays up; nil: none may.
func (p *plant) take(rng *rand.Rand) *site {
	p.mu.Lock()
	defer p.mu.Unlock()
	up := slices.DeleteFunc(slices.Clone(p.sites), func(s *site) bool { return !s.up })
	if len(up) < 2 {
		return nil
	}
	s := up[rng.IntN(len(up))]
	s.up = false
	return s
}

// back marks a site as up again.
func (p *plant) back(s *site) {
	p.mu.Lock()
	defer p.mu.Unlock()
	s.up = true
}

// settle is the time until callers use a site again after it has come back.
const settle = 300 * time.Millisecond

// kinds are the ways in which a site fails, with their frequency and effect. Each ends
// with the site up.
var kinds = []struct {
	name   string
	weight int
	do     func(p *plant, s *site, long time.Duration)
}{
	{"kill", 3, func(p *plant, s *site, long time.Duration) {
		s.replica.Kill()
		time.Sleep(long / 4)
		p.start(s)
	}},
	{"pause", 3, func(_ *plant, s *site, long time.Duration) {
		s.replica.Pause()
		time.Sleep(long)
		s.replica.Continue()
	}},
	{"roll", 2, func(p *plant, s *site, _ time.Duration) {
		if err := s.replica.Drain(); err != nil {
			p.t.Errorf("a replica that was stopped: %v", err)
		}
		p.start(s)
	}},
	{"cut", 3, func(_ *plant, s *site, _ time.Duration) { s.Cut() }},
	{"stall", 3, func(_ *plant, s *site, long time.Duration) {
		s.Stall(true)
		time.Sleep(long)
		s.Stall(false)
	}},
	{"flood", 2, func(p *plant, s *site, long time.Duration) { flood(p.t, s.replica.GRPC, long/4) }},
}

// spoil causes one fault after another until done is closed, and then waits until all
// sites are up again.
func (p *plant) spoil(seed uint64, done <-chan struct{}) {
	rng := rand.New(rand.NewPCG(seed, 1<<40))
	var deck []int
	for i, k := range kinds {
		for range k.weight {
			deck = append(deck, i)
		}
	}
	var under sync.WaitGroup
	defer under.Wait()
	for {
		kind, long := kinds[deck[rng.IntN(len(deck))]], time.Duration(200+rng.IntN(1000))*time.Millisecond
		select {
		case <-done:
			return
		case <-time.After(time.Duration(30+rng.IntN(150)) * time.Millisecond):
		}
		s := p.take(rng)
		if s == nil {
			continue
		}
		p.hit[kind.name]++
		under.Go(func() {
			kind.do(p, s, long)
			time.Sleep(settle)
			p.back(s)
		})
	}
}
