package layered

import (
	"cmp"
	"slices"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// part is where the last blades of a side stand, outwards, and the want in the pocket
// before each; if the face of the fence may end the side, also the want beyond the last.
type part struct {
	at    []int64
	wants []int
}

// partBytes is the memory of a part of n blades.
func partBytes(n int) int { return int(unsafe.Sizeof(part{})) + 16*(n+1) }

// holdPart counts a part about to be allocated, until the fences at hand change.
func (g *Graph) holdPart(n int) bool {
	if g.side.P.Over(16) || !g.hold(partBytes(n)) {
		return false
	}
	g.partsHeld += partBytes(n)
	return true
}

// Path gives the first of the paths of Least at one fence: positions and then wants in
// lexicographic order along the arbor. Both are in that order. It reports false if the
// search ends first.
func (g *Graph) Path(st, e int) (at []int64, wants []int, ok bool) {
	m := g.side.Moving
	if g.side.Empty() {
		return nil, nil, !g.stopped()
	}
	p := g.root(st, e)
	if p == nil || g.stopped() {
		return nil, nil, false
	}
	at, wants = make([]int64, m), p.wants
	for j := range m {
		i := j
		if g.side.Left {
			i = m - 1 - j
		}
		at[i] = g.frame.turn(p.at[j])
	}
	if g.side.Left {
		wants = slices.Clone(wants)
		slices.Reverse(wants)
	}
	return at, wants, true
}

// root is the part of Path. It and all that follow give nil if the search has ended.
func (g *Graph) root(st, e int) (best *part) {
	m := g.side.Moving
	switch {
	case e >= g.n:
		return g.parked(m, g.frame.at(g.n-1))
	case e >= g.side.First():
		return g.topPart(g.node(m, st, e))
	}
	least := g.Least(st, e)
	g.faceLeads(st, e, func(q, before int, x faceStart) {
		if g.leadCost(q, before)+g.reachTop(x.node, least).least() == least {
			best = g.first(best, g.led(q, before, g.join(x.node, int(x.want), g.topPart(x.node))))
		}
	})
	g.leads(st, e, func(q int, h int32) {
		if h < 0 {
			if g.leadCost(q, 0)+g.tail.cost(m-q, g.frame.at(g.n-1)+g.f1) == least {
				best = g.first(best, g.led(q, 0, g.parked(m-q, g.frame.at(g.n-1))))
			}
			return
		}
		for ; h >= 0 && !g.side.P.Over(32); h = g.at(h).next - 1 {
			before := 0
			if q > 0 {
				before = g.waitsAt(h)
			}
			if g.leadCost(q, before)+g.startLeast(h, least).least() == least {
				best = g.first(best, g.led(q, before, g.startPart(h)))
			}
		}
	})
	return best
}

// led puts q blades that wait at or before an entry in front of a part.
func (g *Graph) led(q, e int, rest *part) *part {
	if rest == nil || !g.holdPart(q+len(rest.at)) {
		return nil
	}
	p := &part{at: make([]int64, q, q+len(rest.at)), wants: make([]int, q, q+len(rest.at))}
	g.lead.place(q, -(g.frame.at(min(e, 0)) + g.f2), !g.side.Left, func(j int, x int64) {
		p.at[len(g.frame.blades)-1-j] = -x
	})
	for j := range p.wants {
		p.wants[j] = model.None
	}
	p.at, p.wants = append(p.at, rest.at...), append(p.wants, rest.wants...)
	return p
}

// parked gives the last k blades standing from a height on.
func (g *Graph) parked(k int, y int64) *part {
	if !g.holdPart(k) {
		return nil
	}
	p := &part{make([]int64, k), make([]int, k)}
	if g.side.Ends() {
		p.wants = make([]int, k+1)
	}
	g.tail.place(k, y+g.f1, g.side.Left, func(j int, x int64) {
		p.at[j-len(g.frame.blades)+k] = x
	})
	for j := range p.wants {
		p.wants[j] = model.None
	}
	return p
}

// topPart is the first part of topLeast, beginPart of beginLeast.
func (g *Graph) topPart(id int32) (best *part) {
	least := g.topLeast(id, g.room).least()
	if g.stopped() {
		return nil
	}
	if p, ok := g.parts[partKey{id, true}]; ok {
		return p
	}
	nd := *g.at(id)
	k, st, e := int(nd.k), int(nd.st), int(nd.e)
	if nd.by&byStrip != 0 && g.beginLeast(id, least).least() == least {
		best = g.beginPart(id)
	}
	if nd.by&byOffcut != 0 {
		for h := g.start(k-1, st, e+g.side.Apart(k)); h >= 0 && !g.side.P.Over(32); h = g.at(h).next - 1 {
			if g.startLeast(h, least).least() == least {
				best = g.first(best, g.startPart(h))
			}
		}
	}
	if nd.by&byNothing != 0 && g.tail.cost(k, g.parkFrom(k, e)+g.f1) == least {
		best = g.first(best, g.parked(k, g.parkFrom(k, e)))
	}
	g.keep(partKey{id, true}, best)
	return best
}

// partKey is a node, and whether a part beyond it may begin with anything.
type partKey struct {
	id  int32
	top bool
}

// keep remembers a part until the fences at hand change.
func (g *Graph) keep(k partKey, p *part) {
	if !g.holdPart(1) {
		return
	}
	if g.parts == nil {
		g.parts = map[partKey]*part{}
	}
	g.parts[k] = p
}

func (g *Graph) beginPart(id int32) *part {
	if g.stopped() {
		return nil
	}
	if p, ok := g.parts[partKey{id, false}]; ok {
		return p
	}
	var best *part
	least := g.beginLeast(id, g.room).least()
	nd := *g.at(id)
	for _, x := range g.edges[nd.from:nd.to] {
		g.side.P.Over(16)
		if x.node == faceEnd {
			if from := g.parkFrom(int(nd.k), int(nd.e)); g.tail.cost(int(nd.k), from+g.f1) == least {
				p := g.parked(int(nd.k), from)
				if p == nil {
					return nil
				}
				p.wants[0] = int(x.want)
				best = g.first(best, p)
			}
			continue
		}
		if g.reachTop(x.node, least).least() == least {
			best = g.first(best, g.join(x.node, int(x.want), g.topPart(x.node)))
		}
	}
	for _, x := range g.spans[nd.span[0]:nd.span[1]] {
		r := g.rails[x.rail]
		if r.least(x).least() != least {
			continue
		}
		r.ends(x, func(e int32) {
			if to := g.node(r.k, r.to, int(e)); r.travel[e].least() == least {
				best = g.first(best, g.join(to, r.want.Index, g.topPart(to)))
			}
		})
	}
	g.keep(partKey{id, false}, best)
	return best
}

// startPart is the first part of startLeast.
func (g *Graph) startPart(id int32) *part {
	if g.side.Limited() {
		return g.join(id, model.None, g.topPart(id))
	}
	return g.join(id, model.None, g.beginPart(id))
}

// join puts the blade of a node, and a want in the pocket before it, in front of a part.
func (g *Graph) join(id int32, want int, rest *part) *part {
	if rest == nil || !g.holdPart(1+len(rest.at)) {
		return nil
	}
	p := &part{make([]int64, 0, 1+len(rest.at)), make([]int, 0, 1+len(rest.at))}
	nd := g.at(id)
	p.at = append(append(p.at, g.frame.stand(int(nd.k), int(nd.e))+g.f1), rest.at...)
	p.wants = append(append(p.wants, want), rest.wants...)
	return p
}

// first gives the part that is first along the arbor; either may be nil.
func (g *Graph) first(a, b *part) *part {
	if b != nil && (a == nil || g.compare(a, b) > 0) {
		return b
	}
	return a
}

// compare compares parts of one length: along the arbor the outermost blade of the left
// side is the first, and stands the nearer the greater its coordinate.
func (g *Graph) compare(a, b *part) int {
	in := func(j, n int) int {
		if g.side.Left {
			return n - 1 - j
		}
		return j
	}
	for j, n := 0, len(a.at); j < n; j++ {
		if c := cmp.Compare(a.at[in(j, n)], b.at[in(j, n)]); c != 0 {
			return c * g.frame.dir
		}
	}
	for j, n := 0, len(a.wants); j < n; j++ {
		if c := cmp.Compare(uint(a.wants[in(j, n)]), uint(b.wants[in(j, n)])); c != 0 {
			return c
		}
	}
	return 0
}
