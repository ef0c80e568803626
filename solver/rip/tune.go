package rip

import (
	"math"
	"slices"
	"sort"

	"github.com/ripwright/ripwright/solver/unit"
)

// tuneRounds bounds how often all of a level is worked out to tune the tolls.
const tuneRounds = 40

// tune looks for tolls by which the bound on all cuttings is low: first those that
// are best if strips could be had by parts, then by subgradient steps (Polyak
// 1969; Held, Wolfe and Crowder 1974) over the level of any number of blades.
// Where they end nothing rests on but how much the search has to look at.
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

// tuner is the state of the steps. Points are prices by want and last the fee.
type tuner struct {
	c           *ceiling
	in          *instance
	m           int
	at, bestAt  []float64
	slope       []float64
	value, best int64
	low         int64 // worth of a cutting that keeps the caps, about
	stale       int
	pace        float64
	strips      []laid
	excess      []int // by want: strips that the levels had more than may be, in all
}

// laid is a strip of a cutting that the level gives most for.
type laid struct {
	want  int
	worth int64
	pays  bool
}

func newTuner(c *ceiling, in *instance, m int) *tuner {
	n := len(in.wants) + 1
	return &tuner{c: c, in: in, m: m, at: make([]float64, n), bestAt: make([]float64, n), slope: make([]float64, n), excess: make([]int, n), best: math.MaxInt64, pace: 0.01}
}

// set puts tolls in force.
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

// start takes the tolls that are best where strips can be had by parts: those that
// leave no strip worth more than its width and its pocket are, at a price for each
// that is right. The sum of what width, pockets and tolls cost is convex in the two
// prices, so it is least where two searches, one within the other, end.
func (t *tuner) start() {
	c, in := t.c, t.in
	type piece struct {
		want        int
		wide, worth float64
		most        float64 // infinite: no cap
	}
	var all []piece
	room := float64(in.outerHi - in.outerLo + in.kerf)
	dense, top := 0.0, 0.0
	for i := range in.wants {
		w := &in.wants[i]
		most := math.Inf(1)
		if w.cap >= 0 && c.each[w.cap] > 0 {
			most = float64(c.most[w.cap])
		}
		for _, width := range []int64{w.lo, w.hi} {
			p := piece{i, float64(width + in.kerf), float64(c.up(w.worth(width, w.full))), most}
			all = append(all, p)
			dense, top = max(dense, p.worth/p.wide), max(top, p.worth)
			if !w.it.Random {
				break
			}
		}
	}
	cost := func(width, pocket float64) float64 {
		sum := room*width + float64(t.m)*pocket
		for k := 0; k < len(all); k++ {
			p := &all[k]
			over := p.worth - p.wide*width - pocket
			if k+1 < len(all) && all[k+1].want == p.want {
				k++
				over = max(over, all[k].worth-all[k].wide*width-pocket)
			}
			if over > 0 {
				sum += over * min(p.most, math.Floor(room/p.wide))
			}
		}
		return sum
	}
	const rounds = 30
	least := func(hi float64, f func(float64) float64) float64 {
		lo := 0.0
		for range rounds {
			a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
			if f(a) <= f(b) {
				hi = b
			} else {
				lo = a
			}
		}
		return (lo + hi) / 2
	}
	width := func(pocket float64) float64 { return least(dense, func(v float64) float64 { return cost(v, pocket) }) }
	pocket := least(top, func(v float64) float64 { return cost(width(v), v) })
	if pocket < top*1e-4 {
		pocket = 0
	}
	v := width(pocket)
	for _, p := range all {
		if !math.IsInf(p.most, 1) {
			t.at[p.want] = max(t.at[p.want], p.worth-p.wide*v-pocket)
		}
	}
	t.at[len(t.at)-1] = pocket
}

// look takes the bound and its slope from a level.
func (t *tuner) look(rest []int64) {
	c := t.c
	t.value = rest[0] + c.back + c.fee*int64(t.m)
	t.trace(rest)
	if t.value < t.best {
		if float64(t.best-t.value) > 1e-5*float64(t.value) {
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
	// Of the strips too many the least valuable go.
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

func (t *tuner) done() bool { return t.best <= t.low || t.pace < 1e-5 }

// step goes against the slope, as far as the bound could fall if it fell to what
// is known to be possible; less far where that has brought nothing lately.
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
		norm += g * g
	}
	if norm == 0 {
		t.pace = 0
		return
	}
	far := (float64(t.value-t.best) + t.pace*float64(t.best)) / norm
	for i, g := range t.slope {
		t.at[i] = max(t.at[i]+far*g, 0)
	}
}

// trace takes apart what a level gives most for.
func (t *tuner) trace(rest []int64) {
	c, in := t.c, t.in
	t.strips = t.strips[:0]
	for j := 0; len(t.strips) < 4*t.m+4; {
		v := rest[j]
		if v <= 0 {
			return
		}
		// The last entry worth as much begins a strip.
		j += sort.Search(len(rest)-j, func(i int) bool { return rest[j+i] < v }) - 1
		best, at := laid{want: -1}, 0
		most := int64(never)
		try := func(i, q int, width int64, g cut, sure bool) bool {
			if g.n == 0 {
				return false
			}
			worth, toll := c.up(in.wants[i].worth(width, g)), c.fee
			if sure {
				toll = c.toll(in, &in.wants[i], g)
			}
			if got := worth - toll + rest[q]; got > most {
				most, best, at = got, laid{i, worth, sure && c.enough(in, &in.wants[i], g)}, q
			}
			return most >= v
		}
		t.options(j, try)
		if best.want < 0 {
			return
		}
		t.strips = append(t.strips, best)
		j = at
	}
}

// options tries the strips that begin at entry j until one will do.
func (t *tuner) options(j int, try func(i, q int, width int64, g cut, sure bool) bool) {
	c, in := t.c, t.in
	face := c.height(in, j) + in.kerf
	for i := range in.wants {
		w, d := &in.wants[i], c.widths[i]
		if in.straight && face <= 0 {
			from, to := c.edgeSpan(in, w)
			for q := from; q < to; q++ {
				if try(i, q, c.height(in, q), c.edge[i][q], true) {
					return
				}
			}
		}
		if face < in.outerLo || in.straight && face < 0 {
			continue
		}
		start := w.full
		if len(w.refused) == 0 && j < c.nearN {
			start = c.near[i][j]
		}
		for q := min(j+d.hi, c.n-1); q >= j+d.lo; q-- {
			width := min(int64(q-j)*in.step-in.kerf, w.hi)
			if len(w.refused) > 0 {
				if try(i, q, width, c.spot(i, j, q), d.lo == d.hi) {
					return
				}
				continue
			}
			if try(i, q, width, c.end(i, q, start), j >= c.nearN || q < c.farFrom) {
				return
			}
		}
	}
}

// reach is how many entries a blade stands from the next one at least.
func (c *ceiling) reach(in *instance) int {
	reach := int(unit.CeilDiv(in.kerf+in.gap, in.step))
	for _, d := range c.widths {
		if d.lo <= d.hi {
			reach = min(reach, d.lo)
		}
	}
	return reach
}

// keepWorst has states keep those caps that the tuned levels overran most often,
// which makes the bound no higher: what keeps a cap pays as little for it as what
// pays its toll.
func (c *ceiling) keepWorst(in *instance) {
	for _, i := range c.worst {
		cap := in.wants[i].cap
		if n := c.most[cap] + 1; n <= mostStates/c.states {
			c.unit[cap] = c.states
			c.states *= n
			c.back -= c.price[i] * int64(c.most[cap])
			c.price[i] = 0
		}
	}
	c.charge(in)
}
