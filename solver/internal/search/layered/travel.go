package layered

// Within sets the interval of fences for Least, a part of that for which the tables hold.
func (g *Graph) Within(lo, hi int64) {
	g.epoch++
	g.trail.clear()
	g.Narrow(lo, hi, far)
}

// Narrow is Within for a part of the interval at hand, whose known travels bound those of
// the part. Of travels beyond room, Least says only that they are beyond it.
func (g *Graph) Narrow(lo, hi, room int64) {
	g.f1, g.f2 = g.frame.fences(lo, hi)
	g.room = min(room, far)
	g.stamp++
	g.parts = nil
	g.budget.Free(int64(g.partsHeld))
	g.partsHeld = 0
}

// Allow says that travels beyond room do not matter at the fences at hand.
func (g *Graph) Allow(room int64) { g.room = min(room, far) }

// Least is a lower bound on the travel of the moving blades for one of the best paths
// beyond the fixed blade at an entry, with a state, at any fence of the interval; over
// one fence it is the least travel. It is far if no path can be set. If it exceeds the
// room, it is only a bound.
func (g *Graph) Least(st, e int) int64 { return g.ends(st, e).least() }

// Ends is Least as its values at the first and at the last fence of the interval: at each
// fence, a path travels at least as far as the line between the two.
func (g *Graph) Ends(st, e int) (first, last int64) {
	v := g.ends(st, e)
	if g.side.Left { // whose coordinates rise the other way
		return v.last, v.first
	}
	return v.first, v.last
}

func (g *Graph) ends(st, e int) ends {
	m := g.side.Moving
	switch {
	case g.side.Empty():
		return ends{}
	case g.stopped():
		return farEnds
	case e >= g.n:
		return g.tailCost(m, g.frame.at(g.n-1))
	case e >= g.side.First():
		return g.topLeast(g.node(m, st, e), g.room)
	case e+g.side.Apart(m) > 0:
		return g.outside(st, e)
	}
	for len(g.before) < g.q {
		g.before = append(g.before, waiting{})
	}
	w := &g.before[st]
	if w.stamp != g.stamp || w.least.least() > w.room && w.room < g.room {
		w.stamp, w.room, w.least = g.stamp, g.room, g.outside(st, e)
	}
	return w.least
}

// waiting is Least for fixed blades that stand so far before the board that others can
// wait between them and the board.
type waiting struct {
	stamp int32
	room  int64
	least ends
}

// outside is Least if the fixed blade stands before the board.
func (g *Graph) outside(st, e int) ends {
	least := farEnds
	g.faceLeads(st, e, func(q, before int, x faceStart) {
		if c := g.leadEnds(q, before); c.least() < least.most() {
			least = least.or(c.plus(g.reachTop(x.node, g.room-c.least())))
		}
	})
	g.leads(st, e, func(q int, h int32) {
		if h < 0 {
			least = least.or(g.leadEnds(q, 0).plus(g.tailCost(g.side.Moving-q, g.frame.at(g.n-1))))
			return
		}
		if q == 0 {
			least = least.or(g.hubLeast(h, g.room))
			return
		}
		for ; h >= 0 && !g.side.P.Over(32); h = g.at(h).next - 1 {
			switch c := g.leadEnds(q, g.waitsAt(h)); {
			case c.least() > g.room:
				least = least.or(c)
			case c.least() < least.most():
				least = least.or(c.plus(g.startLeast(h, g.room-c.least())))
			}
		}
	})
	return least
}

// leads calls f with every number of blades that may wait before the board on a best
// path, and the first node at which a strip then begins, or -1 if none does.
func (g *Graph) leads(st, e int, f func(q int, h int32)) {
	m := g.side.Moving
	top := g.Top(st, e)
	need := g.side.At(m, st, e) - g.side.P.Slack
	for q := 0; q <= g.waiting(e); q++ {
		if top.IsZero() {
			f(q, -1)
		}
		if g.side.Rest(m-1-q, st, e+g.side.Apart(m)) < need { // so few blades bring less
			continue
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
// before the board, at one fence.
func (g *Graph) leadCost(q, e int) int64 {
	return g.lead.cost(q, -(g.frame.at(min(e, 0)) + g.f2))
}

// leadEnds is the same over the fences at hand.
func (g *Graph) leadEnds(q, e int) ends {
	y := g.frame.at(min(e, 0))
	v := g.lead.over(q, -(y + g.f2), -(y + g.f1))
	return ends{v.last, v.first}
}

// reach is the least move of the blade of a node.
func (g *Graph) reach(nd *node) ends {
	if g.Full { // it may stand for one for which memory was lacking
		return farEnds
	}
	return g.reachAt(int(nd.k), int(nd.e))
}

// reachAt is reach of the blade with k to come at an entry.
func (g *Graph) reachAt(k, e int) ends {
	b := &g.frame.blades[g.side.Moving-1-k]
	y := g.frame.stand(k, e)
	lo, hi := y+g.f1, y+g.f2
	if hi < b.lo || lo > b.hi {
		return farEnds
	}
	return away(lo, hi, b.current)
}
