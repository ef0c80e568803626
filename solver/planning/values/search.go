package values

import (
	"math"
	"math/big"
	"slices"
)

// search is one run of the column generation.
type search struct {
	pl   *Planner
	o    *Options
	open []int64 // of all rows
	rows []int   // those that want something and can have it
	terms
	// boards counts boards in place of what they cost, and enough of them end the
	// search; 0: only the bound does.
	boards bool
	enough float64

	basis []held // of the last programme; nil: it does not show

	cost   float64   // of the best plan by parts
	better []float64 // the values that the best bound came from, scaled, of all rows
	plan   *Plan
}

// start looks at every open row by itself, if that was not done before: what a
// board can give of it at most, so that there is a policy for it. It reports
// false if stopped.
func (s *search) start() bool {
	pl := s.pl
	for k := range s.open {
		if s.open[k] <= 0 {
			continue
		}
		if !pl.solo[k] || !s.serves(k) {
			v := make([]int64, len(s.open))
			v[k] = 1_000_000_000
			out, whole := pl.price(v, s.open, 0, false, s.o)
			if !whole {
				s.plan.Stopped = true
				return false
			}
			pl.solo[k] = true
			for g := range out {
				if out[g].made[k] <= 0 {
					continue
				}
				p := out[g].policy
				p.alone = k
				// Nothing else was asked for; what fell out by chance is not counted,
				// so that these policies are a start for the programme.
				p.made = make([]float64, len(s.open))
				p.made[k] = out[g].made[k]
				p.over = make([]int64, len(s.open))
				p.over[k] = out[g].over[k]
				pl.pool = append(pl.pool, &p)
				if i := pl.best[k]; i < 0 || !s.serves(k) || p.cost/s.makes(&p, k) < pl.pool[i].cost/s.makes(pl.pool[i], k) {
					pl.best[k] = len(pl.pool) - 1
				}
			}
		}
		if pl.best[k] < 0 {
			s.plan.Impossible = append(s.plan.Impossible, k)
			continue
		}
		s.rows = append(s.rows, k)
	}
	return true
}

// serves reports whether the best policy of row k alone can be used still, if there
// is one.
func (s *search) serves(k int) bool {
	if s.pl.best[k] < 0 {
		return true
	}
	_, ok := s.pl.makes(s.pl.pool[s.pl.best[k]], k, s.open[k])
	return ok
}

// makes is what a policy that can be used makes of row k.
func (s *search) makes(p *policy, k int) float64 {
	m, _ := s.pl.makes(p, k, s.open[k])
	return m
}

// amounts still open of the rows in the search, and what filling each alone costs.
func (s *search) amounts() (open, ceil []float64) {
	for _, k := range s.rows {
		p := s.pl.pool[s.pl.best[k]]
		d := s.pl.Demand.Rows[k].Units(s.open[k])
		open = append(open, d)
		ceil = append(ceil, d/s.makes(p, k)*s.costs(p))
	}
	return open, ceil
}

// costs is what a board costs that is cut by a policy.
func (s *search) costs(p *policy) float64 {
	if s.boards {
		return 1
	}
	return p.cost
}

// column is a policy in a term, by the rows of the search alone.
type column struct {
	lot    int
	cost   float64
	made   []float64
	places []int // rows of places that a board of it takes one of
}

// places are how many boards fit: up to the end of each term, and of each lot of which
// there are only so many.
func (s *search) places() []float64 {
	out := slices.Clone(s.ends)
	for g := range s.pl.p.Lots {
		if s.limited(g) {
			out = append(out, s.pl.p.Lots[g].Most)
		}
	}
	return out
}

// takes lists which of the places a board of a lot takes in a term.
func (s *search) takes(term, lot int) (out []int) {
	for t := term; t < len(s.ends); t++ {
		out = append(out, t)
	}
	row := len(s.ends)
	for g := range s.pl.p.Lots {
		if !s.limited(g) {
			continue
		}
		if g == lot {
			out = append(out, row)
		}
		row++
	}
	return out
}

// narrow gives the policies, each in its term. Those that give nothing that counts
// there, or of some row more than is open by now, are left out; index maps to the
// pool.
func (s *search) narrow() (pool []*column, index []int) {
	for i, p := range s.pl.pool {
		term := s.home(p)
		q := &column{lot: p.lot, cost: s.costs(p), made: make([]float64, len(s.rows)), places: s.takes(term, p.lot)}
		some, usable := false, true
		for j, k := range s.rows {
			if s.in(term, k) {
				m, ok := s.pl.makes(p, k, s.open[k])
				q.made[j] = m
				some, usable = some || m > 0, usable && ok
			}
		}
		if some && usable && q.cost > 0 {
			pool, index = append(pool, q), append(index, i)
		}
	}
	return pool, index
}

// smooth is how much of the values priced comes from those of the best bound.
// Values of the programme alone swing far at first, since few policies hold them.
const smooth = 0.5

func (s *search) run() error {
	open, ceil := s.amounts()
	weight := smooth
	for {
		pool, index := s.narrow()
		pi, mu, cost, basis, err := rowValues(pool, open, ceil, s.alone(index), s.near(index), s.places())
		if err != nil && s.better != nil {
			break // with the values and the policies known
		}
		if err != nil {
			return err
		}
		s.cost = cost
		s.hold(basis, index)
		if s.closed() || s.plan.Rounds >= s.o.Rounds {
			s.plan.Stopped = !s.closed()
			break
		}
		ask := make([]float64, len(s.open))
		for j, k := range s.rows {
			ask[k] = pi[j]
			if s.better != nil {
				ask[k] = weight*s.better[k] + (1-weight)*pi[j]
			}
		}
		before := len(s.pl.pool)
		whole := s.ask(ask, pi, mu)
		if !whole {
			s.plan.Stopped = true
			break
		}
		s.plan.Rounds++
		switch added := len(s.pl.pool) > before; {
		case added:
			weight = smooth
			s.tidy(pool, index, pi, mu)
		case weight == 0:
			// The programme's own values bring no new policy: it is solved as
			// well as its arithmetic can tell.
			return s.finish(open)
		default:
			weight = 0
		}
	}
	return s.finish(open)
}

// closed reports whether cost and bound have met.
func (s *search) closed() bool {
	b := down(s.plan.ExactBound)
	if s.enough > 0 && s.cost <= s.enough {
		return true
	}
	// A cost below the bound is none: the library's arithmetic has failed.
	return s.plan.ExactBound != nil && s.cost-b <= s.o.Gap*s.cost && s.cost >= b*(1-belowBound)
}

// most is the greatest whole value asked for; the finer the better.
const most = 900_000_000_000

// ask prices values, takes their bound, and adds what policies they bring that
// are worth more than they cost by the programme's values pi and mu.
func (s *search) ask(ask, pi, mu []float64) bool {
	top := 0.0
	for _, v := range ask {
		top = math.Max(top, v)
	}
	whole := make([]int64, len(ask))
	for k, v := range ask {
		whole[k] = int64(math.Round(v / top * most))
	}
	outs := make([][]priced, s.count())
	for t := range outs {
		// What was due before a term is filled by then, and worth nothing more.
		counts := make([]int64, len(whole))
		for _, k := range s.rows {
			if s.in(t, k) {
				counts[k] = whole[k]
			}
		}
		var done bool
		if outs[t], done = s.pl.price(counts, s.open, most/1e6/top, s.boards, s.o); !done {
			return false
		}
	}
	natural := new(big.Rat).SetFloat64(top / most / 1e15)
	if scale, bound := s.pl.bound(whole, s.open, s, outs, natural); bound != nil {
		// Rows that cannot be had count for nothing: they have no value here.
		if s.plan.ExactBound == nil || bound.Cmp(s.plan.ExactBound) > 0 {
			s.plan.ExactBound = bound
			s.take(whole, scale, outs[0])
		}
	}
	for t := range outs {
		s.add(t, outs[t], pi, mu)
	}
	return true
}

// add takes policies that were priced for a term into the pool if they are worth
// more than they and their places in the term cost.
func (s *search) add(t int, out []priced, pi, mu []float64) {
	for g := range out {
		worth := 0.0
		for j, k := range s.rows {
			if s.in(t, k) {
				worth += pi[j] * out[g].made[k]
			}
		}
		p := out[g].policy
		cost := s.costs(&p)
		for _, place := range s.takes(t, p.lot) {
			cost += mu[place]
		}
		if p.cost > 0 && worth > cost*(1+gainsAbove) {
			p.after = s.after[t]
			s.pl.pool = append(s.pl.pool, &p)
		}
	}
}

// take keeps values as the best known.
func (s *search) take(whole []int64, scale *big.Rat, out []priced) {
	f, _ := new(big.Rat).Mul(scale, big.NewRat(1e15, 1)).Float64()
	s.better = make([]float64, len(whole))
	s.plan.Aside = nil
	for k, v := range whole {
		s.better[k] = float64(v) * f
	}
	copy(s.plan.Values, s.better)
	for g := range out {
		aside := make([]bool, len(out[g].keep))
		for t, kept := range out[g].keep {
			aside[t] = !kept
		}
		s.plan.Aside = append(s.plan.Aside, aside)
	}
}

// alone gives for each row the policy that fills it most cheaply by itself, as
// indexes into those that index has the places of.
func (s *search) alone(index []int) []int {
	start := make([]int, len(s.rows))
	for j, k := range s.rows {
		for i, at := range index {
			if at == s.pl.best[k] {
				start[j] = i
			}
		}
	}
	return start
}

// held is a column of a basis: a policy, or where that is nil one of the programme's
// own, counted from the first behind the policies.
type held struct {
	policy *policy
	own    int
}

// hold remembers a programme's basis by its policies.
func (s *search) hold(basis, index []int) {
	s.basis = s.basis[:0]
	for _, j := range basis {
		if j < len(index) {
			s.basis = append(s.basis, held{policy: s.pl.pool[index[j]]})
		} else {
			s.basis = append(s.basis, held{own: j - len(index)})
		}
	}
}

// near gives the basis remembered by the columns of a programme with the policies of
// index; nil where there is none, or not all of it is left.
func (s *search) near(index []int) []int {
	at := make(map[*policy]int, len(index))
	for j, i := range index {
		at[s.pl.pool[i]] = j
	}
	var out []int
	for _, h := range s.basis {
		j, left := at[h.policy]
		switch {
		case h.policy == nil:
			j = len(index) + h.own
		case !left:
			return nil
		}
		out = append(out, j)
	}
	return out
}

// overfull is how many boards more than there are of a lot are so by rounding, or part
// of them.
const overfull = 1e-6

// finish works out how many boards of each lot the cheapest plan takes. Its cost is
// that of these boards, not what the dual says.
func (s *search) finish(open []float64) error {
	pool, index := s.narrow()
	x, err := primal(pool, open, s.alone(index), s.near(index), s.places())
	if err != nil {
		return err
	}
	s.cost = 0
	for i, boards := range x {
		if boards > 0 {
			s.cost += boards * pool[i].cost
			s.plan.uses = append(s.plan.uses, use{s.pl.pool[index[i]], boards})
			s.plan.Boards[pool[i].lot] += boards
		}
	}
	for g := range s.pl.p.Lots {
		if lot := &s.pl.p.Lots[g]; lot.Limited && s.plan.Boards[g] > lot.Most*(1+overfull)+overfull {
			s.plan.Short = true
		}
	}
	s.plan.Proven = s.closed() && !s.plan.Short
	return nil
}
