package values

import (
	"math"
	"math/big"
)

// most is the greatest whole value used in pricing; a greater one is finer.
const most = 900_000_000_000

// ask prices values, takes their bound, and adds those of the resulting policies that are
// worth more than they cost by the programme's values pi and mu.
func (s *search) ask(ask, pi, mu []float64) bool {
	top := 0.0
	for _, v := range ask {
		top = math.Max(top, v)
	}
	whole := make([]int64, len(ask))
	for k, v := range ask {
		whole[k] = int64(math.Round(v / top * most))
	}
	o := s.o
	if s.quick {
		o = s.soon()
	}
	outs := make([][]priced, s.count())
	for t := range outs {
		// What is due before the term is filled by then and has no value here.
		counts := make([]int64, len(whole))
		for _, k := range s.rows {
			if s.in(t, k) {
				counts[k] = whole[k]
			}
		}
		var done bool
		if outs[t], done = s.pl.price(counts, s.open, most/1e6/top, s.boards, o); !done {
			return false
		}
	}
	natural := new(big.Rat).SetFloat64(top / most / 1e15)
	if scale, bound := s.pl.bound(whole, s.open, s, outs, natural); bound != nil {
		// Impossible rows do not count: they have no value here.
		if s.plan.ExactBound == nil || bound.Cmp(s.plan.ExactBound) > 0 {
			s.plan.ExactBound = bound
			if !s.quick {
				s.take(whole, scale, outs[0])
			}
		}
	}
	if s.quick {
		for t := range outs {
			for g := range outs[t] {
				outs[t][g].worth = outs[t][g].found
			}
		}
		if scale, seems := s.pl.bound(whole, s.open, s, outs, natural); seems != nil && (s.seems == nil || seems.Cmp(s.seems) > 0) {
			s.seems = seems
			s.take(whole, scale, outs[0])
		}
	}
	for t := range outs {
		s.add(t, outs[t], pi, mu)
	}
	return true
}

// add takes the policies priced for a term into the pool if they are worth more than they
// cost together with their places.
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

// take keeps values as the best known so far.
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
