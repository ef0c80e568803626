package values

import "math"

// pass rips a lot's boards once, for so many of them. It reports whether they make
// something of what is left, and false if stopped.
func (d *draft) pass(lot int, boards float64, mean mean, o *Options) (some, whole bool) {
	s, each := d.s, boards/mean.boards // each: boards that one of the lot stands for
	v, asked, turn := make([]int64, len(s.open)), make([]int64, len(s.open)), 0
	price := func(made []float64) {
		d.price(v, asked, made, each, mean.metres)
		turn++
		thin(v, draftWidths, turn)
	}
	price(make([]float64, len(s.open)))
	out, whole := s.pl.priceLots([]int{lot}, v, asked, 0, true, o, func(out []priced) { price(out[0].made) })
	if !whole {
		return false, false
	}
	p := &out[0].policy
	used := 0.0 // no more boards than fill the last row that they make
	for k, left := range d.left {
		if left > 0 && p.made[k] > 0 {
			used = max(used, min(boards, left/p.made[k]))
			if !s.pl.solo[lot][k] {
				s.offer(k, p)
			}
		}
	}
	if used == 0 {
		return false, true
	}
	s.pl.pool = append(s.pl.pool, p)
	d.take(p, used)
	for k, left := range d.left {
		if d.left[k] = left - used*p.made[k]; d.left[k] < left*draftNone {
			d.left[k] = 0
		}
	}
	return true, true
}

// price values rows by their area, and less where less than a strip is still asked of a
// board, when the boards before have made so much in all.
func (d *draft) price(v, asked []int64, made []float64, each, metres float64) {
	for k, left := range d.left {
		v[k], asked[k] = 0, 0
		if left -= each * made[k]; left <= 0 {
			continue
		}
		value := 1e8 * d.s.pl.area(k) * min(left/each/d.strip(k, metres), 1)
		open := d.s.open[k]
		part := left / each / d.s.pl.Demand.Rows[k].Units(open)
		v[k], asked[k] = max(int64(value), 1), max(int64(math.Ceil(min(part, 1)*float64(open))), 1)
	}
}

// thin takes the value from rows, others in each turn, until at most so many have one.
func thin(v []int64, most, turn int) {
	open := 0
	for _, value := range v {
		if value > 0 {
			open++
		}
	}
	of := (open + most - 1) / most
	for k, value := range v {
		if value > 0 {
			if turn++; turn%of > 0 {
				v[k] = 0
			}
		}
	}
}
