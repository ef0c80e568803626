package values

import "math"

// primal solves the programme: the number of boards to cut by each policy.
func primal(pool []*column, open []float64, start, near []int, ends []float64, stop func() bool) ([]float64, error) {
	p := written(pool, open, start, ends)
	p.stop = stop
	switch {
	case len(near) != len(p.start):
	case stop != nil && stop():
		if _, ok := p.level(near); ok {
			p.start = near
		}
	default:
		first := p.start
		p.start = near
		if _, _, ok := p.basis(); !ok {
			p.start = first
		}
	}
	x, err := p.plan()
	if err != nil {
		return nil, err
	}
	for j := range pool {
		x[j] /= p.size[j]
	}
	return x[:len(pool)], nil
}

// rowValues gives the values of the demand's units and of a place in each term that
// belong to the cheapest plan, and its cost: from the basis of the plan, or, if that
// cannot be identified, from the dual programme, which grows with the number of policies
// and takes far longer.
//
// near is the starting basis, from a programme that differs only in its policies; nil:
// only start is known. The basis of the plan is returned if it can be identified.
func rowValues(pool []*column, open, ceil []float64, start, near []int, ends []float64, stop func() bool) (pi, mu []float64, cost float64, basis []int, err error) {
	p := written(pool, open, start, ends)
	p.stop = stop
	var y []float64
	ok := false
	for _, from := range [][]int{near, p.start} {
		if ok || len(from) != len(p.ask) {
			continue
		}
		for _, by := range aparts {
			p.start = from
			p.move(by)
			if y, basis, ok = p.rows(); ok {
				break
			}
		}
	}
	if !ok && stop != nil && stop() {
		return nil, nil, 0, nil, errStopped
	}
	if !ok {
		pi, mu, cost, err = dual(pool, open, ceil, ends, stop)
		return pi, mu, cost, nil, err
	}
	for k, v := range y {
		v *= p.most / p.unit[k]
		if k < len(open) {
			pi = append(pi, math.Max(v, 0))
			cost += pi[k] * open[k]
		} else {
			mu = append(mu, math.Max(-v, 0))
			cost += v * ends[k-len(open)]
		}
	}
	return pi, mu, cost, basis, nil
}
