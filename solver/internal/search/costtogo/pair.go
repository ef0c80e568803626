package costtogo

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// pair is the strips between a blade and the next one outwards, by how far beyond
// their entries the two stand.
type pair struct {
	left         bool
	inner, outer int64 // the offsets, outwards
	take         int64 // a strip of d stops is d Step - take wide
	apart        int   // stops from one blade to the next at least
	kinds        []kind
	startN       int // strips that begin below are rough at the start
	endN         int // strips that end from here on are rough at the end
	near, far    *grid
	nearAt       int // on the left side: height of entry 0 on either grid
	farAt        int
}

// kind is a want as the tables see it: a strip of it takes lo to hi stops from blade to
// blade, no fewer than the gap asks for. It is worth a value at lo and a slope more for
// each further stop; where it starts at an entry below startN, or ends at endN or above,
// what it is worth at most by that end alone.
type kind struct {
	w           *model.Want
	class       int
	lo, hi      int
	full, slope int64
	start, end  ends
}

// ends is what the strips of a kind that start, or end, at rough heights count, and
// what they are worth.
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
	for _, it := range p.items {
		k := kind{w: it.w, class: it.class, lo: max(int(unit.CeilDiv(x.take+it.w.Lo, m.Step)), x.apart),
			hi: int(unit.FloorDiv(x.take+it.w.Hi, m.Step))}
		if k.lo > k.hi {
			continue
		}
		k.full, k.slope = p.value(&k, x.take, it.w.Full.N)
		k.start, k.end = p.ends(&k, x.take, &start), p.ends(&k, x.take, &end)
		x.kinds = append(x.kinds, k)
	}
	p.pairs = append(p.pairs, x)
	return x
}

// reversed gives the first n of some counts as they come from the other side.
func (p *Profile) reversed(c counts, n int) (r counts) {
	turn := func(all [][]int64) (turned [][]int64) {
		for _, v := range all {
			t := p.buf.ints(n)
			p.Over(n)
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
	most := c.most[x.class]
	e := ends{n: c.least[x.class], value: p.buf.ints(len(most)), slope: p.buf.ints(len(most))}
	for i, n := range most {
		if p.Over(8) {
			break
		}
		e.value[i], e.slope[i] = p.value(x, take, n)
	}
	return e
}

// value of a strip of lo stops that counts n, and what each further stop adds.
func (p *Profile) value(x *kind, take, n int64) (value, slope int64) {
	if n == 0 {
		return never, 0
	}
	value = p.Up(x.w.Worth(int64(x.lo)*p.M.Step-take, n))
	if x.w.ByWidth() {
		slope = p.Up(unit.WorthOf(x.w.It.Value, p.M.Step, n))
	}
	return value, slope
}

// counted gives what a strip between two entries counts.
func (x *pair) counted(p *Profile, k *kind, i, e int) int64 {
	switch {
	case i >= x.startN && e < x.endN:
		return k.w.Full.N
	case i >= x.startN:
		return k.end.n[e-x.endN]
	case e < x.endN:
		return k.start.n[i]
	case x.left:
		return p.counted(k.class, k.w, x.near, x.nearAt-e, x.far, x.farAt-i)
	}
	return p.counted(k.class, k.w, x.near, i, x.far, e)
}
