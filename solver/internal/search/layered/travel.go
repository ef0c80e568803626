package layered

// Within sets the interval of fences that Least looks at, a part of that which the
// tables hold for.
func (g *Graph) Within(lo, hi int64) {
	g.f1, g.f2 = g.frame.fences(lo, hi)
	g.stamp++
	g.parts = nil
	g.budget.Free(int64(g.partsHeld))
	g.partsHeld = 0
}

// Least is at most what the moving blades must travel to cut one of the best paths
// beyond the fixed blade at an entry, with a state, at any fence of the interval;
// over one fence it is the least travel. It is far where none can be cut.
func (g *Graph) Least(st, e int) int64 {
	m := g.side.Moving
	switch {
	case g.side.Empty():
		return 0
	case g.stopped():
		return far
	case e >= g.n:
		return g.tail.cost(m, g.frame.at(g.n-1)+g.f1)
	case e >= g.side.First():
		return g.topLeast(g.node(m, st, e))
	case e+g.side.Apart(m) > 0:
		return g.outside(st, e)
	}
	for len(g.before) < g.q {
		g.before = append(g.before, waiting{})
	}
	w := &g.before[st]
	if w.stamp != g.stamp {
		w.stamp, w.least = g.stamp, g.outside(st, e)
	}
	return w.least
}

// waiting is Least for fixed blades that stand so far before the board that others
// can wait between them and it.
type waiting struct {
	stamp int32
	least int64
}

// outside is Least where the fixed blade stands before the board.
func (g *Graph) outside(st, e int) int64 {
	least := far
	g.faceLeads(st, e, func(q, before int, x faceStart) {
		if c := g.leadCost(q, before); c < least {
			least = min(least, c+g.reachTop(x.node))
		}
	})
	g.leads(st, e, func(q int, h int32) {
		if h < 0 {
			least = min(least, g.leadCost(q, 0)+g.tail.cost(g.side.Moving-q, g.frame.at(g.n-1)+g.f1))
			return
		}
		if q == 0 {
			least = min(least, g.hubLeast(h))
			return
		}
		for ; h >= 0 && !g.side.P.Over(32); h = g.at(h).next - 1 {
			if c := g.leadCost(q, g.waitsAt(h)); c < least {
				least = min(least, c+g.startLeast(h))
			}
		}
	})
	return least
}

// leads calls f with every number of blades that may wait before the board on a best
// path, and the first node at which a strip begins then, or -1 where none does.
func (g *Graph) leads(st, e int, f func(q int, h int32)) {
	m := g.side.Moving
	top := g.Top(st, e)
	for q := 0; q <= g.waiting(e); q++ {
		if top.IsZero() {
			f(q, -1)
		}
		if h := g.start(m-1-q, st, e+g.side.Apart(m)); h >= 0 {
			if sc := g.startTop(h); sc.Cmp(&top) == 0 {
				f(q, h)
			}
		}
	}
}

// waitsAt is the last entry at which the blade before that of a node can stand.
func (g *Graph) waitsAt(id int32) int {
	nd := g.at(id)
	return int(nd.e) - g.side.Apart(int(nd.k)+1)
}

// leadCost is the least travel of the first q moving blades at or before an entry,
// before the board.
func (g *Graph) leadCost(q, e int) int64 {
	return g.lead.cost(q, -(g.frame.at(min(e, 0)) + g.f2))
}

// reach is how far the blade of a node must move at least.
func (g *Graph) reach(nd *node) int64 {
	if g.Full { // it may stand for one that there was no memory for
		return far
	}
	b := &g.frame.blades[g.side.Moving-1-int(nd.k)]
	y := g.frame.stand(int(nd.k), int(nd.e))
	lo, hi := y+g.f1, y+g.f2
	if hi < b.lo || lo > b.hi {
		return far
	}
	return max(lo-b.current, b.current-hi, 0)
}

// topLeast is the least travel beyond a node, beginLeast where a strip begins at it.
func (g *Graph) topLeast(id int32) int64 {
	g.after(id)
	nd := g.at(id)
	if nd.topStamp == g.stamp {
		return nd.topLeast
	}
	least := far
	k, st, e, by := int(nd.k), int(nd.st), int(nd.e), nd.by
	if by&byStrip != 0 {
		least = min(least, g.beginLeast(id))
	}
	if by&byOffcut != 0 {
		least = min(least, g.hubLeast(g.start(k-1, st, e+g.side.Apart(k))))
	}
	if by&byNothing != 0 {
		least = min(least, g.tail.cost(k, g.parkFrom(k, e)+g.f1))
	}
	nd = g.at(id)
	nd.topStamp, nd.topLeast = g.stamp, least
	return least
}

// parkFrom is where blades can stand beyond the wood and the one with k to come at an
// entry.
func (g *Graph) parkFrom(k, e int) int64 {
	return g.frame.at(max(e+g.side.Apart(k), g.n-1))
}

func (g *Graph) beginLeast(id int32) int64 {
	nd := g.at(id)
	if nd.beginStamp == g.stamp {
		return nd.beginLeast
	}
	if g.side.P.Over(16*int(nd.to-nd.from) + 64) {
		return far
	}
	least := far
	k, e := int(nd.k), int(nd.e)
	for _, x := range g.edges[nd.from:nd.to] {
		if x.node == faceEnd {
			least = min(least, g.tail.cost(k, g.parkFrom(k, e)+g.f1))
			continue
		}
		if c := g.reach(g.at(x.node)); c < least {
			least = min(least, c+g.topLeast(x.node))
		}
	}
	nd = g.at(id)
	for _, x := range g.spans[nd.span[0]:nd.span[1]] {
		least = min(least, g.rails[x.rail].least(x))
	}
	nd = g.at(id)
	nd.beginStamp, nd.beginLeast = g.stamp, least
	return least
}

// reachTop is topLeast with the travel of the blade itself.
func (g *Graph) reachTop(id int32) int64 {
	c := g.reach(g.at(id))
	if c >= far {
		return far
	}
	return min(c+g.topLeast(id), far)
}

// startLeast is the least travel of the blade of a node after an offcut and of those
// beyond it.
func (g *Graph) startLeast(id int32) int64 {
	if g.side.Limited() {
		return g.reachTop(id)
	}
	c := g.reach(g.at(id))
	if c >= far {
		return far
	}
	return c + g.beginLeast(id)
}

// hubLeast is the least of startLeast over a node and those that follow it by next.
func (g *Graph) hubLeast(id int32) int64 {
	if g.Full {
		return far
	}
	first, least := len(g.row), far
	for ; id >= 0; id = g.at(id).next - 1 {
		if nd := g.at(id); nd.hubStamp == g.stamp {
			least = nd.hubLeast
			break
		}
		g.row = append(g.row, id)
	}
	for len(g.row) > first && !g.side.P.Over(16) {
		id = g.row[len(g.row)-1]
		least = min(least, g.startLeast(id)) // which may use what lies beyond in the row
		g.row = g.row[:len(g.row)-1]
		nd := g.at(id)
		nd.hubStamp, nd.hubLeast = g.stamp, least
	}
	g.row = g.row[:first]
	return least
}
