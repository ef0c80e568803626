package incumbent

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// relaxed estimates what strips bring in a width before there are tables: as the least of
// three bounds, as though strips could be cut in fractions (Dantzig, Discrete-variable
// extremum problems, 1957).
type relaxed struct {
	h         *heuristic
	narrowest int64
	each      curve   // one strip: of n in a width, each has its share
	all       curve   // strips as often as caps allow, those of most worth for their width first
	most      []int64 // by number: strips as often as caps allow, those of most worth first
	fixed     []int   // items that are not by width, the narrowest first
	ranges    []int   // those that are
	tolerance int64   // the most by which one of the former may be wider
}

// curve is a concave piecewise linear function from 0 on, level beyond its last point.
type curve struct{ at, worth []int64 }

// value gives the value at x.
func (c *curve) value(x int64) int64 {
	n := len(c.at)
	i, _ := slices.BinarySearch(c.at, x)
	if i == n {
		return c.worth[n-1]
	}
	if i == 0 {
		return 0
	}
	return c.worth[i-1] + unit.MulDiv(c.worth[i]-c.worth[i-1], x-c.at[i-1], c.at[i]-c.at[i-1])
}

// relax prepares the estimates.
func (h *heuristic) relax() *relaxed {
	p := h.p
	x := &relaxed{h: h, narrowest: far}
	var points []strip // amount: width with kerf
	for k := range p.Items {
		it := &p.Items[k]
		if h.full[k].worth <= 0 {
			continue
		}
		x.narrowest = min(x.narrowest, it.Lo)
		if it.ByWidth {
			x.ranges = append(x.ranges, k)
			points = append(points, strip{unit.MulDiv(h.rate[k], it.Lo, 1<<20), it.Lo + p.Kerf})
		} else {
			x.fixed, x.tolerance = append(x.fixed, k), max(x.tolerance, it.Hi-it.Lo)
		}
		points = append(points, strip{h.full[k].worth, x.width(k)})
	}
	slices.SortStableFunc(x.fixed, func(a, b int) int { return cmp.Compare(p.Items[a].Lo, p.Items[b].Lo) })
	x.each.set(hull(points))
	if h.capped {
		x.heedCaps()
	}
	h.work += int64(len(p.Items)) >> 3
	return x
}

// width is that of an item's strip that is worth most, with a kerf.
func (x *relaxed) width(k int) int64 {
	it := &x.h.p.Items[k]
	if it.ByWidth {
		return it.Hi + x.h.p.Kerf
	}
	return it.Lo + x.h.p.Kerf
}

// hull gives the least concave rising function above points and 0.
func hull(points []strip) []strip {
	slices.SortFunc(points, func(a, b strip) int { return cmp.Or(cmp.Compare(a.amount, b.amount), cmp.Compare(a.worth, b.worth)) })
	all := []strip{{}}
	for _, q := range points {
		if q.worth <= all[len(all)-1].worth {
			continue
		}
		for n := len(all); n > 1 && (all[n-1].amount == q.amount || above(all[n-2], all[n-1], q)); n-- {
			all = all[:n-1]
		}
		all = append(all, q)
	}
	return all
}

// above reports whether the line from a to c lies on or above b.
func above(a, b, c strip) bool {
	return unit.MulDiv(c.worth-a.worth, b.amount-a.amount, c.amount-a.amount) >= b.worth-a.worth
}

// heedCaps prepares the bounds that heed caps.
func (x *relaxed) heedCaps() {
	h := x.h
	items := append(slices.Clone(x.fixed), x.ranges...)
	slices.SortStableFunc(items, func(a, b int) int { return cmp.Compare(h.full[b].worth, h.full[a].worth) })
	x.most = make([]int64, 1, len(h.p.Blades)+1)
	for _, k := range items {
		for range min(h.allowed[k], cap(x.most)-len(x.most)) {
			x.most = append(x.most, x.most[len(x.most)-1]+h.full[k].worth)
		}
	}
	dense := make([]int64, len(h.p.Items))
	for _, k := range items {
		dense[k] = unit.MulDiv(h.full[k].worth, 1<<12, x.width(k))
	}
	slices.SortStableFunc(items, func(a, b int) int { return cmp.Compare(dense[b], dense[a]) })
	sum := []strip{{}}
	for _, k := range items {
		last := sum[len(sum)-1]
		if last.amount > h.p.OuterHi-h.p.OuterLo+h.p.Kerf { // no board takes more
			break
		}
		n := int64(h.allowed[k])
		sum = append(sum, strip{last.worth + n*h.full[k].worth, last.amount + n*x.width(k)})
	}
	x.all.set(sum)
}

func (c *curve) set(points []strip) {
	for _, q := range points {
		c.at, c.worth = append(c.at, q.amount), append(c.worth, q.worth)
	}
}

// single gives the strip worth most that is exactly so wide.
func (x *relaxed) single(width int64) (most int64) {
	items := x.h.p.Items
	from, _ := slices.BinarySearchFunc(x.fixed, width-x.tolerance, func(k int, w int64) int { return cmp.Compare(items[k].Lo, w) })
	for _, k := range x.fixed[from:] {
		if items[k].Lo > width {
			break
		}
		if width <= items[k].Hi {
			most = max(most, x.h.full[k].worth)
		}
	}
	for _, k := range x.ranges {
		if it := &items[k]; it.Lo <= width && width <= it.Hi {
			most = max(most, unit.MulDiv(x.h.rate[k], width, 1<<20))
		}
	}
	return most
}

// rest estimates n strips in a width, with a kerf between two.
func (x *relaxed) rest(n int, width int64) int64 {
	if n <= 0 || width < x.narrowest {
		return 0
	}
	width += x.h.p.Kerf
	v := int64(n) * x.each.value(width/int64(n))
	if x.h.capped {
		v = min(v, x.all.value(width), x.most[min(n, len(x.most)-1)])
	}
	return v
}
