package costtogo

import (
	"slices"
	"sort"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// If defects may break a strip, what it counts depends on both its sides, and so does the
// worth of the pieces to which it is crosscut. But which defects it meets changes only at
// their own edges: between two of these a blade may begin the strip anywhere, and
// likewise end it, and all such strips meet the same defects. So the entries at which
// strips begin, and those at which they end, are divided into zones, and if the edges of
// the board are clear too, strips from one zone to another count the same. Their worth is
// then linear in the width, as for clear strips, and each two zones have their own kind
// of strip. Zones of rough entries are not divided: strips from one of those to a zone
// are measured entry by entry.

// spot is what decides the count of strips of some wants that defects may break.
type spot struct {
	id int
	w  *model.Want // one of them
}

// spotOf gives the spot of a want, nil if no defect may break its runs and it is not
// crosscut.
func (p *Profile) spotOf(w *model.Want) *spot {
	if !w.Spotted() && !w.Crosscut() {
		return nil
	}
	for _, s := range p.spots {
		if !w.Crosscut() && !s.w.Crosscut() && s.w.Least == w.Least && slices.Equal(s.w.Refused, w.Refused) {
			return s
		}
	}
	p.spots = append(p.spots, &spot{len(p.spots), w})
	return p.spots[len(p.spots)-1]
}

// zones are those of a spot for strips of a pair.
type zones struct {
	begins, ends []int // the first entry of each, and one beyond the last
	clear        map[[2]int]model.Cut
	rough        map[[2]int][]int64 // what is counted from, or to, rough entries; below 0: not known
}

// mostKinds limits the kinds of all wants of a pair: copying more, as they grow, would
// take longer than a search may go without checking its limits.
const mostKinds = 1 << 14

// zones divides the entries of a pair.
func (x *pair) zones(p *Profile, s *spot) *zones {
	m := p.M
	z := &zones{clear: map[[2]int]model.Cut{}, rough: map[[2]int][]int64{}}
	z.begins, z.ends = []int{0, x.startN, p.N}, []int{0, x.endN, p.N}
	if p.Over(16*len(s.w.Refused)) || !p.room(4*len(s.w.Refused)) {
		return z
	}
	for _, k := range s.w.Refused {
		g := &m.Gaps[k]
		near := int(unit.CeilDiv(int64(g.Hi)-p.Base-x.near.off-m.Kerf, m.Step)) // from this height on what begins is clear of it
		far := int(unit.FloorDiv(int64(g.Lo)-p.Base-x.far.off, m.Step))         // up to this one what ends is
		i, e := near, far+1
		if x.left {
			i, e = x.farAt-far, x.nearAt-near+1
		}
		if i > x.startN && i < p.N {
			z.begins = append(z.begins, i)
		}
		if e > 0 && e < x.endN {
			z.ends = append(z.ends, e)
		}
	}
	slices.Sort(z.begins)
	slices.Sort(z.ends)
	z.begins, z.ends = slices.Compact(z.begins), slices.Compact(z.ends)
	return z
}

// divide adds the kinds of a want, one for each two zones between which a strip of it can
// reach.
func (x *pair) divide(p *Profile, of *kind, g *group, z *zones, start, end *counts) {
	g.begins, g.at = z.begins[1:len(z.begins)-1], g.at[:0]
	for b := range len(z.begins) - 1 {
		g.at = append(g.at, len(x.kinds))
		b0, b1 := z.begins[b], z.begins[b+1]
		e := sort.SearchInts(z.ends[1:], b0+of.lo+1)
		for ; e < len(z.ends)-1 && z.ends[e] < b1+of.hi; e++ {
			if p.Over(64) || len(x.kinds) > mostKinds || p.Short {
				p.Short = true
				return
			}
			k := *of
			k.from, k.to = max(b0, z.ends[e]-of.hi), min(b1, z.ends[e+1]-of.lo)
			k.first, k.last = max(z.ends[e], k.from+of.lo), min(z.ends[e+1], k.to+of.hi)
			if k.endAt = k.first; k.from >= k.to || k.first >= k.last {
				continue
			}
			if x.measure(p, &k, z, b, e, start, end) && p.room(kindBytes/8) {
				if len(x.kinds) == cap(x.kinds) {
					p.Over(copying * len(x.kinds))
				}
				x.kinds = append(x.kinds, k)
			}
		}
	}
}

// copying is how many rounds it takes to copy a kind.
const copying = 16

// kindBytes is the memory of a kind, with its share of what holds it, and cutBytes that
// of strips between two zones.
const (
	kindBytes = 2 * 320
	cutBytes  = 96
)

// measure computes what strips of a kind count and reports whether any do.
func (x *pair) measure(p *Profile, k *kind, z *zones, b, e int, start, end *counts) bool {
	rough, cut := k.from < x.startN, k.last > x.endN
	switch {
	case rough && cut: // each by itself bounds it
		if !p.room(2 * (k.to - k.from + k.last - k.first)) {
			return false
		}
		k.start = p.bounds(k, x.take, start.most[k.class][k.from:k.to])
		k.end = p.bounds(k, x.take, end.most[k.class][k.first-x.endN:k.last-x.endN])
		return true
	case rough:
		return x.along(p, &k.start, k, z, [2]int{-1, e}, k.from, k.to, x.startN, 0, func(i int) (lo, hi int64) { return x.band(p, i, z.ends[e]) })
	case cut:
		return x.along(p, &k.end, k, z, [2]int{b, -1}, k.first, k.last, p.N-x.endN, x.endN, func(i int) (lo, hi int64) { return x.band(p, z.begins[b], i) })
	}
	c, ok := z.clear[[2]int{b, e}]
	if !ok {
		p.Over(p.cutting(k.w))
		lo, hi := x.band(p, z.begins[b], z.ends[e])
		c = p.M.Cut(k.spot.w, lo, hi)
		if p.room(cutBytes / 8) {
			z.clear[[2]int{b, e}] = c
		}
	}
	k.cut, k.n = c, c.N
	k.full, k.slope = p.value(k, x.take, c)
	return c.N > 0
}

// along measures the strips of a kind that begin, or end, at rough entries from from up
// to before. All wants of a spot share these counts, of n entries, the first of which is
// zero.
func (x *pair) along(p *Profile, to *ends, k *kind, z *zones, key [2]int, from, before, n, zero int, band func(i int) (lo, hi int64)) bool {
	all, ok := z.rough[key]
	if !ok {
		if !p.room(n) {
			return false
		}
		all = p.ints(n)
		fill(all, -1)
		z.rough[key] = all
	}
	if !p.room(2 * (before - from)) {
		return false
	}
	to.n = all[from-zero : before-zero]
	to.value, to.slope = p.ints(before-from), p.ints(before-from)
	some := false
	for i := from; i < before; i++ {
		if p.Over(8) {
			return false
		}
		c := &to.n[i-from]
		cut := model.Cut{N: *c}
		if *c < 0 || k.w.Crosscut() {
			p.Over(p.cutting(k.w))
			lo, hi := band(i)
			cut = p.M.Cut(k.spot.w, lo, hi)
			*c = cut.N
		}
		to.value[i-from], to.slope[i-from] = p.value(k, x.take, cut)
		some = some || *c > 0
	}
	return some
}

// bounds gives the worth of strips that count at most a length.
func (p *Profile) bounds(k *kind, take int64, most []int64) ends {
	e := ends{n: most, value: p.ints(len(most)), slope: p.ints(len(most))}
	v := p.valued(k, take)
	for from := 0; from < len(most) && !p.Over(8*min(blockLen, len(most)-from)); from += blockLen {
		for i := from; i < min(from+blockLen, len(most)); i++ {
			e.value[i], e.slope[i] = v.of(most[i])
		}
	}
	return e
}

// room counts numbers about to be allocated, and reports whether there is memory for
// them. A search that a limit has ended gets none.
func (p *Profile) room(n int) bool {
	if p.ended() {
		return false
	}
	if p.Short || !p.budget.Fits(int64(8*n)) || !p.budget.Hold(int64(8*n)) {
		p.Short = true
	}
	return !p.Short
}

// zone gives the kinds of a want that can begin at an entry.
func (g *group) zone(i int) (first, last int) {
	if g.at == nil {
		return g.first, g.last
	}
	b := sort.SearchInts(g.begins, i+1)
	if b+1 < len(g.at) {
		return g.at[b], g.at[b+1]
	}
	return g.at[b], g.last
}
