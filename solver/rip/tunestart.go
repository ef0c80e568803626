package rip

import "math"

// noFee is the fraction of the greatest worth below which a price for each strip counts
// as none: the two searches end only near the best prices.
const noFee = 1e-4

// start takes the tolls that are best if strips were divisible: those at which no strip
// is worth more than its width and its pocket, at the right price for each. The total
// cost of width, pockets and tolls is convex in the two prices, so it is least where two
// nested searches end.
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
		c.tick(int64(len(all))/32 + 1)
		sum := float64(room*width) + float64(float64(t.m)*pocket)
		for k := 0; k < len(all); k++ {
			p := &all[k]
			over := p.worth - float64(p.wide*width) - pocket
			if k+1 < len(all) && all[k+1].want == p.want {
				k++
				over = max(over, all[k].worth-float64(all[k].wide*width)-pocket)
			}
			if over > 0 {
				sum += float64(over * min(p.most, math.Floor(room/p.wide)))
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
	if pocket < top*noFee {
		pocket = 0
	}
	v := width(pocket)
	for _, p := range all {
		if !math.IsInf(p.most, 1) {
			t.at[p.want] = max(t.at[p.want], p.worth-float64(p.wide*v)-pocket)
		}
	}
	t.at[len(t.at)-1] = pocket
}
