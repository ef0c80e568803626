package layered

import "math"

// Least travels are computed from a node on, only as far as they matter: a query states
// the room that is left, and if the answer exceeds it, a bound above the room is enough.
// What is known of a wider interval of fences bounds the travels over a part of it, so
// most of a graph that has been searched once is not searched again as the fences are
// halved.

// kinds of what is known of a node.
const (
	beginKind = iota // travel beyond it if a strip begins at it
	topKind          // travel beyond it in any case
	hubKind          // the least over it and those that follow by next, their own travel included
	kinds
)

// known is what is known of a node's least travels: bounds at the fences of an epoch, and
// at the fences at hand, if the stamp is theirs, both ends: the last exceeds the first by
// slope. A slope that exceeds its bits is clamped.
type known struct {
	stamp [kinds]int32
	slope [kinds]int32
	least [kinds]int64
}

// ask gives what is known of a node, and whether that is enough.
func (g *Graph) ask(nd *node, kind int, room int64) (ends, bool) {
	if nd.epoch != g.epoch {
		nd.known, nd.epoch = known{}, g.epoch
		return ends{}, false
	}
	v := nd.least[kind]
	if nd.stamp[kind] == g.stamp {
		d := int64(nd.slope[kind])
		return ends{v + max(-d, 0), v + max(d, 0)}, true
	}
	return alike(v), v > room
}

// learn keeps the result of a query with a room, and gives it.
func (g *Graph) learn(id int32, kind int, v ends, room int64) ends {
	nd := g.at(id)
	if least := v.least(); least > nd.least[kind] {
		if g.trail.logs {
			g.log(change{id, int32(kind), nd.least[kind]})
		}
		nd.least[kind] = least
	}
	if v = v.above(nd.least[kind]); nd.least[kind] <= room {
		nd.stamp[kind] = g.stamp
		nd.slope[kind] = int32(min(max(v.last-v.first, math.MinInt32), math.MaxInt32))
	}
	return v
}

// topLeast is the least travel beyond a node, beginLeast if a strip begins at it.
func (g *Graph) topLeast(id int32, room int64) ends {
	g.after(id)
	nd := g.at(id)
	if v, does := g.ask(nd, topKind, room); does {
		return v
	}
	if g.side.P.Over(16) {
		return farEnds
	}
	least := farEnds
	k, st, e, by := int(nd.k), int(nd.st), int(nd.e), nd.by
	if by&byStrip != 0 {
		least = least.or(g.beginLeast(id, room))
	}
	if by&byOffcut != 0 {
		least = least.or(g.hubLeast(g.start(k-1, st, e+g.side.Apart(k)), room))
	}
	if by&byNothing != 0 {
		least = least.or(g.tailCost(k, g.parkFrom(k, e)))
	}
	return g.learn(id, topKind, least, room)
}

// parkFrom is where blades can stand beyond the wood if the one with k to come is at an
// entry.
func (g *Graph) parkFrom(k, e int) int64 {
	return g.frame.at(max(e+g.side.Apart(k), g.n-1))
}

// tailCost is the least travel of the last k blades at or beyond a height.
func (g *Graph) tailCost(k int, y int64) ends { return g.tail.over(k, y+g.f1, y+g.f2) }

func (g *Graph) beginLeast(id int32, room int64) ends {
	nd := g.at(id)
	if v, does := g.ask(nd, beginKind, room); does {
		return v
	}
	if g.side.P.Over(16*int(nd.to-nd.from) + 32) {
		return farEnds
	}
	least := farEnds
	k, e := int(nd.k), int(nd.e)
	for _, x := range g.edges[nd.from:nd.to] {
		if x.node == faceEnd {
			least = least.or(g.tailCost(k, g.parkFrom(k, e)))
			continue
		}
		least = least.or(g.reachTop(x.node, room))
	}
	nd = g.at(id)
	for _, x := range g.spans[nd.span[0]:nd.span[1]] {
		least = least.or(g.rails[x.rail].least(x))
	}
	return g.learn(id, beginKind, least, room)
}

// reachTop is topLeast with the travel of the blade itself.
func (g *Graph) reachTop(id int32, room int64) ends {
	c := g.reach(g.at(id))
	least := c.least()
	if least > room || least >= far {
		return c
	}
	return c.plus(g.topLeast(id, room-least))
}

// startLeast is the least travel of the blade of a node after an offcut and of those
// beyond it.
func (g *Graph) startLeast(id int32, room int64) ends {
	if g.side.Limited() {
		return g.reachTop(id, room)
	}
	c := g.reach(g.at(id))
	least := c.least()
	if least > room || least >= far {
		return c
	}
	return c.plus(g.beginLeast(id, room-least))
}

// hubLeast is the least of startLeast over a node and those that follow it by next.
func (g *Graph) hubLeast(id int32, room int64) ends {
	if g.Full {
		return farEnds
	}
	first, least := len(g.row), farEnds
	for ; id >= 0; id = g.at(id).next - 1 {
		if v, does := g.ask(g.at(id), hubKind, room); does {
			least = v
			break
		}
		g.row = append(g.row, id)
	}
	for len(g.row) > first && !g.side.P.Over(8) {
		id = g.row[len(g.row)-1]
		least = least.or(g.startLeast(id, room)) // which may use what lies beyond in the row
		g.row = g.row[:len(g.row)-1]
		least = g.learn(id, hubKind, least, room)
	}
	g.row = g.row[:first]
	return least
}
