// Package layered holds the best ways to use the blades of one side, ties and all.
//
// Beyond a fixed blade a cutting is a path: from blade to blade through strips and
// offcuts, with a layer for each number of blades to come. A table of costs to go, exact
// except for its rounding, says which strips can be on a best path; only those paths are
// scored exactly, by (worth, deviation, area, blades in the wood) in lexicographic order.
// That score adds up along a path, so the best is found by dynamic programming. Ties are
// kept: a layered graph as in decision diagrams (Bergman, Cire, van Hoeve and Hooker,
// Decision Diagrams for Optimization, 2016). Shortest paths through it then give the
// least travel, exactly over one fence stop, as a bound over an interval of them.
//
// An idle blade (with an offcut or edging on either side of it) stands in the wood on no
// best path: the blade beyond could do its work, and an idle one park outside. So the
// blades of a path are some that wait before the wood, those that bound strips, and some
// that stand beyond the wood. That presumes that travels are left out; if they keep every
// tied path from being set, Least says so.
package layered

import (
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// Graph is the best paths beyond the fixed blade of one side.
type Graph struct {
	// Full says that the memory was not enough: the graph's results must not be used.
	Full bool

	side    *costtogo.Side
	budget  *budget.Budget
	frame   frame
	tail    *chain // all moving blades outwards
	lead    *chain // the same inwards, from the outermost
	n, q    int
	cells   cells
	pages   []*[pageLen]node
	count   int           // of nodes
	scores  []model.Score // of nodes, the first one none
	scoreAt [256]int32    // the last of these with a hash
	edges   []edge
	spans   []span
	rails   []*rail
	spare   []*rail // of earlier problems
	railAt  map[[4]int]int32
	found   [][]edge // per layer, edges in progress
	wide    [][]span // the same
	stamp   int32
	epoch   int32 // of Within
	room    int64 // travels beyond do not matter
	trail   trail
	f1, f2  int64     // interval of fences at hand, in the side's coordinates
	before  []waiting // per state

	faceLists map[[3]int][]faceStart

	parts     map[partKey]*part // at one fence
	partsHeld int               // bytes
	row       []int32           // nodes that hubLeast has passed, each once at a time
	peaks     []int32           // entries that start has passed, likewise
	peaksHeld int               // how many of these are counted
}

// node is a blade at an entry with k blades to come.
type node struct {
	k        uint8
	by       ways // what gives top
	st       int16
	e        int32
	from, to int32    // edges of the strips that give begin
	span     [2]int32 // spans of more of them
	next     int32    // 1 + the next node outwards of the same layer at which an equally good strip begins
	epoch    int32    // of what is known
	begin    int32    // scores: the best if a strip begins here; worth below 0: none does
	top      int32    // the best in any case

	known
}

// ways says what gives a node's best, and which of its bests are computed.
type ways uint8

const (
	byStrip ways = 1 << iota
	byOffcut
	byNothing
	begun // begin is
	done  // top is
)

// edge is a strip of a want to a node.
type edge struct {
	want int32
	node int32 // or faceEnd
}

// faceEnd stands for the node of a strip that the face of the fence ends.
const faceEnd = -1

var none = model.Score{Worth: unit.Worth{Hi: -1 << 40}}

// Reset makes the graph that of a side whose tables are built. It reuses the memory:
// earlier results are no longer valid.
func (g *Graph) Reset(s *costtogo.Side, b *budget.Budget) {
	g.side, g.budget, g.n, g.q = s, b, s.P.N, s.States.Count
	g.frame = newFrame(s)
	g.tail, g.lead = g.frame.chains()
	used := g.count
	g.count, g.edges, g.before = 0, g.edges[:0], g.before[:0]
	g.stamp, g.epoch, g.room, g.parts, g.partsHeld, g.faceLists = 0, 0, far, nil, 0, nil
	g.trail = trail{pages: g.trail.pages}
	g.row, g.peaks, g.peaksHeld = g.row[:0], g.peaks[:0], 0
	g.spare = append(g.spare, g.rails...)
	g.spans, g.rails, g.railAt = g.spans[:0], g.rails[:0], nil
	g.Full = false
	g.scores, g.scoreAt = append(g.scores[:0], none), [len(g.scoreAt)]int32{}
	layers := (s.Moving + 1) * g.q
	if s.Empty() || !g.hold(4*layers*blocks(g.n)) {
		layers = 0
	}
	g.cells.reset(used, layers, g.n)
	for len(g.found) <= s.Moving {
		g.found, g.wide = append(g.found, nil), append(g.wide, nil)
	}
}

// Bytes is the size of the graph.
func (g *Graph) Bytes() int {
	rails := 0
	for _, l := range [][]*rail{g.rails, g.spare} {
		for _, r := range l {
			rails += endBytes * cap(r.score)
		}
	}
	return rails + g.cells.bytes() + nodeBytes*pageLen*len(g.pages) + scoreBytes*cap(g.scores) + 8*cap(g.edges) + 12*cap(g.spans) + 4*(cap(g.row)+cap(g.peaks)) + g.trail.bytes()
}

// nodeBytes is the memory of a node, pageLen how many are allocated at once.
const (
	nodeBytes = int(unsafe.Sizeof(node{})) + 8 // with its place in a row
	pageLen   = 64

	scoreBytes = int(unsafe.Sizeof(model.Score{}))
)

// hold counts bytes about to be allocated, without ending the search if they do not fit:
// another search may need less.
func (g *Graph) hold(n int) bool {
	if g.Full || !g.budget.Fits(int64(n)) {
		g.Full = true
		return false
	}
	return g.budget.Hold(int64(n))
}

// sized gives a slice of n entries with any contents.
func sized[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	return v[:n]
}

func cleared[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	v = v[:n]
	clear(v)
	return v
}

// stopped reports whether the budget has ended or the memory was not enough. From then on
// nodes may be unfinished, and one node may stand for another.
func (g *Graph) stopped() bool { return g.Full || g.budget.Ended() != budget.None }

// at gives a node. It stays where it is.
func (g *Graph) at(id int32) *node { return &g.pages[id/pageLen][id%pageLen] }

// Nodes calls f with the blades to come and the entry of every node.
func (g *Graph) Nodes(f func(k, e int)) {
	for id := range int32(g.count) {
		f(int(g.at(id).k), int(g.at(id).e))
	}
}

// node gives the node of a blade at an entry on the board.
func (g *Graph) node(k, st, e int) int32 {
	c := g.need(k, st, e)
	switch {
	case c == nil && g.count > 0:
		return 0
	case c == nil:
		c = new(cell)
	}
	at := &c.node[e%cellLen]
	if *at <= g.cells.base {
		if (g.count%pageLen == 0 && !g.hold(nodeBytes*pageLen) || g.Full) && g.count > 0 {
			return 0
		}
		g.side.P.Over(64)
		if g.count/pageLen == len(g.pages) {
			g.pages = append(g.pages, new([pageLen]node))
		}
		*g.at(int32(g.count)) = node{k: uint8(k), st: int16(st), e: int32(e)}
		g.count++
		*at = g.cells.base + int32(g.count)
	}
	return *at - g.cells.base - 1
}
