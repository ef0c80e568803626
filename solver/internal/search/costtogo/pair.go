package costtogo

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// pair is the strips between a blade and the next one outwards, by the offsets of the two
// from their entries.
type pair struct {
	left         bool
	inner, outer int64 // the offsets, outwards
	take         int64 // a strip of d stops is d Step - take wide
	apart        int   // stops from one blade to the next at least
	kinds        []kind
	groups       []group
	startN       int // strips that begin below are rough at the start
	endN         int // strips that end from here on are rough at the end
	near, far    *grid
	nearAt       int // on the left side: height of entry 0 on either grid
	farAt        int
}

// kind is a want as the tables see it: a strip of it takes lo to hi stops from blade to
// blade, at least the gap. It is worth a value at lo and a slope more for each further
// stop; if it starts at an entry below startN, or ends at endN or above, the most that it
// is worth by that end alone. If defects may break its runs, there are as many kinds of
// it as the board has zones (see zones), and the strips of each begin and end only at
// some entries.
type kind struct {
	w           *model.Want
	class       int
	spot        *spot // nil: edges alone decide what it counts
	lo, hi      int
	from, to    int       // it begins at an entry from from on, before to,
	first, last int       // and ends at one from first on, before last
	cut         model.Cut // of strips that are clear from end to end
	n           int64     // the least that these count, if the place of the board is not known
	full, slope int64
	start, end  ends
	endAt       int // the entry that end begins with; start begins with from
}

// group is the kinds of one want, by the zone in which they begin.
type group struct {
	first, last int // kinds from first on, before last
	lo, hi      int
	full, slope int64 // the most of any
	begins      []int // the first entry of each zone but the first
	at          []int // by zone: its first kind; nil if there is one kind
}

// ends is what the strips of a kind that start, or end, at rough heights count, and their
// worth.
type ends struct{ n, value, slope []int64 }

// pair gives the strips of a side between blades of two offsets. On the left side the
// outer blade stands at a stop.
func (p *Profile) pair(left bool, inner, outer int64) *pair {
	for _, x := range p.pairs {
		if x.left == left && x.inner == inner && x.outer == outer {
			return x
		}
	}
	m := p.M
	x := &pair{left: left, inner: inner, outer: outer, take: m.Kerf + inner - outer}
	x.apart = int(unit.CeilDiv(x.take+m.Gap, m.Step))
	var start, end counts
	if left {
		x.near, x.far = p.grid(0), p.grid((m.Step-inner)%m.Step)
		x.nearAt, x.farAt = p.N-1, p.N-1
		if inner > 0 {
			x.farAt--
		}
		x.startN, x.endN = max(x.farAt-x.far.farN+1, 0), p.N-x.near.nearN
		start, end = p.reversed(x.far.far, x.startN), p.reversed(x.near.near, p.N-x.endN)
	} else {
		x.near, x.far = p.grid(inner), p.grid(outer)
		x.startN, x.endN = x.near.nearN, x.far.farN
		start, end = x.near.near, x.far.far
	}
	spots := make([]*zones, len(p.spots))
	x.groups = make([]group, 0, len(p.items))
	if p.of == nil {
		x.kinds = p.buf.kindsOf(len(p.items))
	} else { // it is made and dropped many times in one search
		x.kinds = make([]kind, 0, len(p.items))
	}
	for _, it := range p.items {
		k := kind{w: it.w, class: it.class, spot: it.spot, lo: max(int(unit.CeilDiv(x.take+it.w.Lo, m.Step)), x.apart),
			hi: int(unit.FloorDiv(x.take+it.w.Hi, m.Step)), to: p.N, last: p.N, endAt: x.endN, cut: it.w.AtMost(it.w.Full.N), n: it.w.Full.N}
		if k.lo > k.hi {
			continue
		}
		k.full, k.slope = p.value(&k, x.take, k.cut)
		g := group{first: len(x.kinds), lo: k.lo, hi: k.hi, full: k.full, slope: k.slope}
		if k.spot == nil || p.of != nil {
			k.start, k.end = p.ends(&k, x.take, &start), p.ends(&k, x.take, &end)
			if k.spot != nil { // wherever the board lies, defects may leave nothing
				k.n, k.start.n, k.end.n = 0, p.none(len(k.start.n)), p.none(len(k.end.n))
			}
			x.kinds = append(x.kinds, k)
		} else {
			if spots[k.spot.id] == nil {
				spots[k.spot.id] = x.zones(p, k.spot)
			}
			x.divide(p, &k, &g, spots[k.spot.id], &start, &end)
		}
		g.last = len(x.kinds)
		x.groups = append(x.groups, g)
	}
	p.pairs = append(p.pairs, x)
	return x
}

// reversed gives the first n of some counts as seen from the other side.
func (p *Profile) reversed(c counts, n int) (r counts) {
	turn := func(all [][]int64) (turned [][]int64) {
		for _, v := range all {
			t := p.ints(n)
			for i := range t {
				t[i] = v[n-1-i]
			}
			turned = append(turned, t)
		}
		return turned
	}
	r.most = turn(c.most)
	if r.least = r.most; p.of != nil {
		r.least = turn(c.least)
	}
	return r
}

func (p *Profile) ends(x *kind, take int64, c *counts) ends {
	e := p.bounds(x, take, c.most[x.class])
	e.n = c.least[x.class]
	return e
}

// none gives n numbers that are 0.
func (p *Profile) none(n int) []int64 {
	v := p.ints(n)
	fill(v, 0)
	return v
}

// value of a strip of lo stops with its counted runs, and what each further stop adds.
func (p *Profile) value(x *kind, take int64, c model.Cut) (value, slope int64) {
	if c.N == 0 {
		return never, 0
	}
	value = p.Up(x.w.Worth(int64(x.lo)*p.M.Step-take, c))
	if x.w.ByWidth() {
		slope = p.Up(x.w.It.Slope(unit.Length(p.M.Step), c.N))
	}
	return value, slope
}

// band gives the heights between which a strip between two entries lies.
func (x *pair) band(p *Profile, i, e int) (lo, hi int64) {
	if x.left {
		i, e = x.nearAt-e, x.farAt-i
	}
	return p.Y(i) + x.near.off + p.M.Kerf, p.Y(e) + x.far.off
}

// counted gives what a strip between two entries counts.
func (x *pair) counted(p *Profile, k *kind, i, e int) model.Cut {
	switch {
	case i >= x.startN && e < x.endN:
		return k.cut
	case i >= x.startN && !k.w.Crosscut():
		return model.Cut{N: k.end.n[e-k.endAt]}
	case e < x.endN && !k.w.Crosscut():
		return model.Cut{N: k.start.n[i-k.from]}
	case x.left:
		return p.counted(k, x.near, x.nearAt-e, x.far, x.farAt-i)
	}
	return p.counted(k, x.near, i, x.far, e)
}
