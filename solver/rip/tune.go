package rip

import (
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// tuneRounds limits how often a whole level is computed to tune the tolls.
const tuneRounds = 40

// Where tuning ends. It lowers a bound, and any level is a valid bound, so no proof
// depends on these; they were chosen by how much the search then has to do.
const (
	firstPace = 0.01 // of the best bound: how far the first step goes beyond it
	leastPace = 1e-5 // at which steps gain nothing any more
	falls     = 1e-5 // the fraction by which a bound has to fall; otherwise the step counts as stale
)

// tune looks for tolls at which the bound on all cuttings is low: first those that are
// best if strips were divisible, then by subgradient steps (Polyak 1969; Held, Wolfe and
// Crowder 1974) over the level of any number of blades. Where they end affects only how
// much the search has to do.
func (c *ceiling) tune(s *search) {
	in := s.in
	m := len(in.blades) - 1
	if in.straight {
		m++
	}
	if m < 1 || c.n == 0 || c.reach(in) < 1 {
		return
	}
	l, rest := c.longs.take(c.n+1), c.longs.take(c.n+1)
	t := newTuner(c, in, m)
	t.start()
	for range tuneRounds {
		t.set(t.at)
		if !s.spend(int64(c.n*len(in.wants)/512 + 1)) {
			return
		}
		clear(l)
		c.stretch(in, l, rest, 0, [][]int64{rest})
		t.look(rest)
		if t.done() {
			break
		}
		t.step()
	}
	t.set(t.bestAt)
	for i := range in.wants {
		if t.excess[i] > 0 {
			c.worst = append(c.worst, i)
		}
	}
	slices.SortStableFunc(c.worst, func(a, b int) int { return t.excess[b] - t.excess[a] })
	c.crowded = c.fee > 0
	c.fee = 0
	c.charge(in)
}

// tuner is the state of the steps. Points are prices by want, and last the fee.
type tuner struct {
	c           *ceiling
	in          *instance
	m           int
	at, bestAt  []float64
	slope       []float64
	value, best int64
	low         int64 // approximate worth of a cutting that keeps the caps
	stale       int
	pace        float64
	strips      []laid
	excess      []int // by want: strips of the levels above the number allowed, in total
}

func newTuner(c *ceiling, in *instance, m int) *tuner {
	n := len(in.wants) + 1
	return &tuner{c: c, in: in, m: m, at: make([]float64, n), bestAt: make([]float64, n), slope: make([]float64, n), excess: make([]int, n), best: math.MaxInt64, pace: firstPace}
}

// set sets the tolls.
func (t *tuner) set(at []float64) {
	c := t.c
	c.back = 0
	for i := range t.in.wants {
		w := &t.in.wants[i]
		if c.price[i] = 0; w.cap >= 0 && c.each[w.cap] > 0 {
			c.price[i] = int64(at[i])
			c.back += c.price[i] * int64(c.most[w.cap])
		}
	}
	c.fee = int64(at[len(at)-1])
	c.charge(t.in)
}

// look computes the bound and its slope from a level.
func (t *tuner) look(rest []int64) {
	c := t.c
	t.value = rest[0] + c.back + c.fee*int64(t.m)
	t.trace(rest)
	if t.value < t.best {
		if float64(t.best-t.value) > falls*float64(t.value) {
			t.stale = 0
		} else {
			t.stale++
		}
		t.best = t.value
		copy(t.bestAt, t.at)
	} else {
		t.stale++
	}
	clear(t.slope)
	fee := len(t.slope) - 1
	t.slope[fee] = float64(len(t.strips) - t.m)
	for i := range t.in.wants {
		if w := &t.in.wants[i]; w.cap >= 0 && c.each[w.cap] > 0 {
			t.slope[i] = -float64(c.most[w.cap])
		}
	}
	// Of the excess strips the least valuable are dropped.
	c.tick(int64(len(t.in.wants))/8 + 1)
	slices.SortStableFunc(t.strips, func(a, b laid) int { return sign(b.worth - a.worth) })
	sum, kept := int64(0), 0
	for _, f := range t.strips {
		if f.pays {
			t.slope[f.want]++
		}
		if (!f.pays || t.slope[f.want] <= 0) && kept < t.m {
			sum += f.worth
			kept++
		}
	}
	t.low = max(t.low, sum)
	for i, g := range t.slope[:fee] {
		t.excess[i] += int(max(g, 0))
	}
}

func (t *tuner) done() bool { return t.best <= t.low || t.pace < leastPace }

// step moves against the slope, as far as the bound could fall if it fell to what is
// known to be possible; less far if recent steps have gained nothing.
func (t *tuner) step() {
	if t.stale >= 2 {
		t.pace /= 2
		t.stale = 0
		copy(t.at, t.bestAt)
	}
	norm := 0.0
	for i, g := range t.slope {
		if g < 0 && t.at[i] <= 0 {
			continue
		}
		norm += float64(g * g)
	}
	if norm == 0 {
		t.pace = 0
		return
	}
	far := (float64(t.value-t.best) + float64(t.pace*float64(t.best))) / norm
	sum := 0.0
	for i, g := range t.slope {
		t.at[i] = max(t.at[i]+float64(far*g), 0)
		if i < len(t.in.wants) && t.in.wants[i].cap >= 0 {
			sum += float64(t.at[i] * float64(t.c.most[t.in.wants[i].cap]))
		}
	}
	const most = 1 << 61 // the most that may be given back
	for i := range t.at {
		t.at[i] *= min(1, most/max(sum, 1))
	}
}

// reach is the least number of entries between a blade and the next one.
func (c *ceiling) reach(in *instance) int {
	reach := int(unit.CeilDiv(in.kerf+in.gap, in.step))
	for _, d := range c.widths {
		if d.lo <= d.hi {
			reach = min(reach, d.lo)
		}
	}
	return reach
}

// keepWorst makes states keep those caps that the tuned levels overran most often, which
// does not raise the bound: a strip whose cap is kept pays as little for it as one that
// pays its toll.
func (c *ceiling) keepWorst(in *instance) {
	if len(c.worst) == 0 {
		return
	}
	for _, i := range c.worst {
		k := in.wants[i].cap
		if n := c.most[k] + 1; n <= in.ready.states()/c.states {
			c.unit[k] = c.states
			c.states *= n
			c.back -= c.price[i] * int64(c.most[k])
			c.price[i] = 0
		}
	}
	c.charge(in)
}
