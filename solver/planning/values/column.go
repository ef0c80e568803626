package values

import "slices"

// column is a policy in a term, over the rows of the search only.
type column struct {
	lot    int
	cost   float64
	made   []float64
	places []int // rows of the places that each of its boards takes
}

// places are the numbers of boards allowed: up to the end of each term, and of each
// limited lot.
func (s *search) places() []float64 {
	out := slices.Clone(s.ends)
	for g := range s.pl.p.Lots {
		if s.limited(g) {
			out = append(out, s.pl.p.Lots[g].Most)
		}
	}
	return out
}

// takes lists the places that a board of a lot takes in a term.
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

// narrow gives the policies, each in its term. It leaves out those that give nothing that
// counts there, and those that give more of a row than is now open; index maps the
// columns to the pool.
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
