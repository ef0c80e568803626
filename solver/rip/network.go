package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/unit"
)

// network holds all cuttings of a board on a saw whose blades all move that are worth at
// least an amount, over an interval of fences. Its frame is the heights of the board, so
// that the place of the fence affects only the blades' travels, for which the whole
// interval is allowed.
//
// A node is a blade beside a strip. Blades without a strip on either side are not in it:
// between two strips, before the first and beyond the last they are placed separately,
// see chain. So a cutting is a path of strips, each from a node to the next blade's, and
// of skips over idle blades.
type network struct {
	s      *search
	in     *instance
	c      *ceiling
	f      fences
	need   int64 // coarse worth that a cutting must reach, before tolls are given back
	spread int64 // from a blade to the next one at its nearest

	beam   int   // nodes kept of a blade, for a dive; 0: all
	most   int64 // the greatest coarse worth reached
	rising bool  // need rises to it, since only the best counts

	nodes  paged[node]
	arcs   paged[arc]
	layers []stratum // by blade
	skips  []skip
	ends   []int32 // nodes that can be a cutting's last
	// Entries of the ceiling at which a blade cuts wood.
	woodFrom, woodTo int
	leads            []int64 // per blade: how many before it must stand in the wood
	trails           []int64 // per blade: how many beyond it must
	shut             []bool  // per blade: whether all before it can clear a straight edge

	slots   [2][]int32 // nodes by entry of the ceiling, numbered from 1
	touched [2][]int
	table   usages
	// overfull: there are too many cuttings to hold, as with many caps that only a bound
	// which keeps all of them could distinguish.
	overfull bool
	// mostGroups is the most groups that a layer had; maps keep their size.
	mostGroups int
	small      slab[int32]
	groups     int // of all layers
	byGroup    map[groupKey]int32
	byKind     map[kind]int
	found      []goal
	settler    settler
}

// node is a blade j at height a, after the best cutting of all before it; its
// score leaves travel out.
type node struct {
	a      int64
	score  score
	coarse int64 // the worth less the tolls paid
	paid   int64
	used   int32
	state  int32
	kind   kind
	j      int16
	lost   bool  // another node dominates it
	arcs   int32 // first arc into it, or -1
	next   int32 // next node of the slot
}

// arc is one way to reach a node: by a strip of want from node from, from a straight edge
// if from is -1, or by a skip if want is noWant; skip -1 is the one over all blades
// before the first strip.
type arc struct {
	from int32
	skip int32
	next int32
	want int16
}

// stratum is one blade's nodes in rising order: those that a strip ends at and
// those that only begin one.
type stratum struct {
	ended, begun []int32
	groups       []group
}

// group is nodes of one blade which differ only in where it stands, and perhaps in the
// tolls paid. What begins after them uses the tolls of the first: how many strips of an
// item that count can follow depends on how its cap is used alone.
type group struct {
	groupKey
	nodes []int32
}

type groupKey struct {
	score score
	used  int32
	kind  kind
}

// skip passes over the blades between a group's blade and blade to.
type skip struct {
	from, to int
	nodes    []int32 // of the group, rising
	users    []int32 // nodes of blade to that it reaches, rising
}

// network gives an empty network over an interval of fences.
func (s *search) network(c *ceiling, f fences) *network {
	var t *network
	if n := len(s.nets); n > 0 {
		t, s.nets = s.nets[n-1], s.nets[:n-1]
	} else {
		t = &network{byGroup: map[groupKey]int32{}, byKind: map[kind]int{}}
	}
	in := s.in
	n := len(in.blades)
	fresh := t.s != s
	t.s, t.in, t.c, t.f, t.spread, t.beam, t.rising = s, in, c, f, in.stopUp(in.kerf+in.gap), 0, false
	if fresh {
		t.serve(s.budget)
	}
	t.layers = slices.Grow(t.layers[:0], n)[:n]
	t.leads, t.trails, t.shut = s.longs.take(n), s.longs.take(n), resize(t.shut, n)
	t.table.init(s)
	if fresh {
		hold(s.budget, 2*4*int64(c.n))
	}
	for side := range t.slots {
		t.slots[side] = slices.Grow(t.slots[side][:0], c.n)[:c.n]
	}
	before, beyond := in.clearings()
	t.woodFrom, t.woodTo = t.floorIndex(before)+1, t.ceilIndex(beyond)-1
	for i := range n {
		t.shut[i] = true
		for m := range i {
			if in.blades[m].lo-f.hi > before {
				t.leads[i] += min(in.kerf, 1)
				t.shut[i] = false
			}
		}
		for m := i + 1; m < n; m++ {
			if in.blades[m].hi-f.lo < beyond {
				t.trails[i] += min(in.kerf, 1)
			}
		}
	}
	return t
}

// serve makes the network's own memory count for another search.
func (t *network) serve(b *budget.Budget) {
	t.nodes.begin()
	t.arcs.begin()
	t.small.begin(b)
	r := &t.settler.room
	r.ints.begin(b)
	r.chords.begin(b)
	r.skips.begin(b)
	r.flags.begin(b)
	r.blades.begin(b)
	r.wants.begin(b)
}

// bytes is the approximate memory that the network keeps.
func (t *network) bytes() int64 {
	const perGroup, perKind, perUsage = 200, 200, 100
	u, r := &t.settler, &t.settler.room
	sum := t.nodes.bytes() + t.arcs.bytes() + size(t.skips) + size(t.ends) + size(t.slots[0]) + size(t.slots[1]) +
		size(t.touched[0]) + size(t.touched[1]) + size(t.table.all) + t.small.bytes() + int64(t.mostGroups)*perGroup +
		int64(cap(t.found))*perKind + int64(t.table.marked)*perUsage
	sum += size(u.used) + size(u.stack) + size(u.to) + size(u.ways) + r.ints.bytes() + r.chords.bytes() + r.skips.bytes() +
		r.flags.bytes() + r.blades.bytes() + r.wants.bytes()
	for i := range t.layers {
		l := &t.layers[i]
		sum += size(l.ended) + size(l.begun) + size(l.groups)
	}
	return sum
}

// clearings gives the last stop before the wood and the first one beyond it.
func (in *instance) clearings() (before, beyond int64) {
	return in.stopDown(in.woodLo - in.kerf), in.stopUp(in.woodHi)
}

// cuts is 1 if a blade at an entry of the ceiling cuts wood.
func (t *network) cuts(q int) int64 {
	if t.in.kerf > 0 && q >= t.woodFrom && q <= t.woodTo {
		return 1
	}
	return 0
}

// reset empties the network for another try.
func (t *network) reset(need int64) {
	t.need = need - t.c.back
	t.nodes.n, t.arcs.n, t.skips, t.ends = 0, 0, t.skips[:0], t.ends[:0]
	t.small.reset()
	t.overfull, t.most, t.groups = false, 0, 0
	for side := range t.slots { // an interrupted run may have left some
		all := t.slots[side][:cap(t.slots[side])] // also those of a larger board
		for _, at := range t.touched[side] {
			all[at] = 0
		}
		t.touched[side] = t.touched[side][:0]
	}
	for i := range t.layers {
		l := &t.layers[i]
		l.ended, l.begun, l.groups = l.ended[:0], l.begun[:0], l.groups[:0]
	}
}

// window gives the heights at which blade j can stand.
func (t *network) window(j int) (lo, hi int64) {
	b := &t.in.blades[j]
	return b.lo - t.f.hi, b.hi - t.f.lo
}

// floorIndex and ceilIndex give entries of the ceiling for any height.
func (t *network) floorIndex(y int64) int {
	return int(min(max(unit.FloorDiv(y-t.c.lo, t.in.step), -1), int64(t.c.n-1)))
}

func (t *network) ceilIndex(y int64) int {
	return int(min(max(unit.CeilDiv(y-t.c.lo, t.in.step), 0), int64(t.c.n)))
}
