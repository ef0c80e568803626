package values

// Policies that the programme has not used for a while are dropped: the tables of the
// library's programmes grow with the square of their number.
const (
	roomy    = 120
	mostIdle = 25
)

func (s *search) tidy(pool []*column, index []int, pi, mu []float64) {
	for i, p := range pool {
		worth := 0.0
		for j := range pi {
			worth += pi[j] * p.made[j]
		}
		cost := p.cost
		for _, place := range p.places {
			cost += mu[place]
		}
		own := s.pl.pool[index[i]]
		if own.idle++; worth > cost*(1-usedWithin) {
			own.idle = 0
		}
	}
	if len(s.pl.pool) <= roomy+2*len(s.open) {
		return
	}
	keep := map[int]bool{}
	for _, i := range s.pl.best {
		keep[i] = true
	}
	var left []*policy
	moved := map[int]int{-1: -1}
	for i, p := range s.pl.pool {
		if keep[i] || p.idle < mostIdle {
			moved[i] = len(left)
			left = append(left, p)
		}
	}
	for k, i := range s.pl.best {
		s.pl.best[k] = moved[i]
	}
	s.pl.pool = left
}
