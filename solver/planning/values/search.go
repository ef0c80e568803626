package values

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
