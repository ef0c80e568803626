package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// network holds all cuttings of a board on a saw whose blades all move that are
// worth no less than is needed, over an interval of fences. Heights of the
// board are the frame, so that where the fence stands matters to nothing but
// the blades' travels, and they are given the benefit of the whole interval.
//
// A node is a blade beside a strip. Blades without a strip on either side are
// not in it: between two strips, before the first and beyond the last they are
// placed by themselves, see chain. So a cutting is a path of strips, each from
// a node to the next blade's, and of skips over blades that stand idle.
type network struct {
	s      *search
	in     *instance
	c      *ceiling
	f      fences
	need   int64 // coarse worth that a cutting must reach, before tolls are given back
	spread int64 // from a blade to the next one at its nearest

	beam   int   // nodes kept of a blade, for a dive; 0: all
	most   int64 // the greatest coarse worth met
	rising bool  // need rises to it, since only the best counts

	nodes  []node
	arcs   []arc
	layers []stratum // by blade
	skips  []skip
	ends   []int32 // nodes that can be a cutting's last
	leads  []int64 // per blade: how many before it must stand in the wood
	trails []int64 // per blade: how many beyond it must
	shut   []bool  // per blade: whether all before it can clear a straight edge

	slots   [2][]int32 // nodes by entry of the ceiling, numbered from 1
	touched [2][]int
	table   usages
	// overfull: there are too many cuttings to hold, as with many caps that only a
	// bound which knows of all of them could tell apart.
	overfull bool
	small    slab[int32]
	byGroup  map[groupKey]int32
	settler  settler
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
	lost   bool  // another node made it needless
	arcs   int32 // first arc into it, or -1
	next   int32 // next node of the slot
}

// arc is one way to come to a node: by a strip of want from node from, from a
// straight edge with from -1, or by a skip where want is noWant; skip -1 is the
// one over all blades before the first strip.
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

// group is nodes of one blade which differ only in where it stands.
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
	users    []int32 // nodes of blade to that are come to by it, rising
}

// network gives an empty network over an interval of fences.
func (s *search) network(c *ceiling, f fences) *network {
	t := &network{byGroup: map[groupKey]int32{}}
	if n := len(s.nets); n > 0 {
		t = s.nets[n-1]
		s.nets = s.nets[:n-1]
	}
	in := s.in
	n := len(in.blades)
	t.s, t.in, t.c, t.f, t.spread = s, in, c, f, in.stopUp(in.kerf+in.gap)
	t.layers = slices.Grow(t.layers[:0], n)[:n]
	t.leads, t.trails, t.shut = s.longs.take(n), s.longs.take(n), make([]bool, n)
	t.table.init(in)
	for side := range t.slots {
		t.slots[side] = slices.Grow(t.slots[side][:0], c.n)[:c.n]
	}
	before, beyond := in.clearings()
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

// clearings gives the last stop before the wood and the first one beyond it.
func (in *instance) clearings() (before, beyond int64) {
	return in.stopDown(in.woodLo - in.kerf), in.stopUp(in.woodHi)
}

// reset empties the network for another try.
func (t *network) reset(need int64) {
	t.need = need - t.c.back
	t.nodes, t.arcs, t.skips, t.ends = t.nodes[:0], t.arcs[:0], t.skips[:0], t.ends[:0]
	t.small.used, t.overfull, t.most = 0, false, 0
	for side := range t.slots { // what was broken off may have left some
		for _, at := range t.touched[side] {
			t.slots[side][at] = 0
		}
		t.touched[side] = t.touched[side][:0]
	}
	for i := range t.layers {
		l := &t.layers[i]
		l.ended, l.begun, l.groups = l.ended[:0], l.begun[:0], l.groups[:0]
	}
}

// The two sides of a stratum.
const (
	ended = iota
	begun
)

// mostNodes bounds a network. What has more is left to the search for any saw.
const mostNodes = 150_000

// add puts a node in, or another way to come to one that is there already.
func (t *network) add(side int, n node, a arc) {
	if len(t.nodes) >= mostNodes {
		t.overfull = true
		return
	}
	at := t.c.index(t.in, n.a)
	first := t.slots[side][at]
	if first == 0 {
		t.touched[side] = append(t.touched[side], at)
	}
	for i := first; i != 0; i = t.nodes[i-1].next {
		if !t.s.spend(1) {
			return
		}
		o := &t.nodes[i-1]
		if o.lost || o.kind != n.kind {
			continue
		}
		c := o.score.cmp(&n.score)
		switch {
		case o.used == n.used:
			if c < 0 {
				o.score, o.coarse, o.paid, o.arcs = n.score, n.coarse, n.paid, -1
			}
			if c <= 0 {
				t.link(i-1, a)
			}
			return
		case c > 0 && t.table.lighter(o.used, n.used):
			return
		case c < 0 && t.table.lighter(n.used, o.used):
			o.lost = true
		}
	}
	n.arcs, n.next = -1, first
	t.nodes = append(t.nodes, n)
	t.slots[side][at] = int32(len(t.nodes))
	t.link(int32(len(t.nodes)-1), a)
}

func (t *network) link(to int32, a arc) {
	n := &t.nodes[to]
	a.next = n.arcs
	n.arcs = int32(len(t.arcs))
	t.arcs = append(t.arcs, a)
}

// gather lists what one side of a blade holds, in rising order, and empties the
// slots.
func (t *network) gather(side int, to []int32) []int32 {
	slices.Sort(t.touched[side])
	for _, at := range t.touched[side] {
		for i := t.slots[side][at]; i != 0; i = t.nodes[i-1].next {
			if !t.nodes[i-1].lost {
				to = append(to, i-1)
			}
		}
		t.slots[side][at] = 0
	}
	t.touched[side] = t.touched[side][:0]
	return to
}

// usages numbers the ways in which caps are used, 0 for none.
type usages struct {
	caps  int
	all   []uses
	index map[uint64][]int32
}

func (u *usages) init(in *instance) {
	u.caps = in.caps
	u.all = slices.Grow(u.all[:0], in.caps)[:in.caps]
	clear(u.all)
	clear(u.index)
}

func (u *usages) of(i int32) []uses { return u.all[int(i)*u.caps : int(i+1)*u.caps] }

func (u *usages) lighter(i, j int32) bool {
	return lighter(u.of(i), u.of(j))
}

// with gives the number of usage i after a strip that takes amount of want w,
// false where that overruns the cap by more than the last strip.
func (u *usages) with(i int32, w *want, amount int64) (int32, bool) {
	if w.cap < 0 || amount == 0 {
		return i, true
	}
	now := u.of(i)[w.cap].with(amount)
	if now.sum-now.largest >= w.open {
		return 0, false
	}
	at := len(u.all)
	u.all = append(u.all, u.of(i)...)
	u.all[at+w.cap] = now
	mark := uint64(0)
	for _, v := range u.all[at:] {
		mark = mix(mark ^ uint64(v.sum))
		mark = mix(mark ^ uint64(v.largest))
	}
	for _, k := range u.index[mark] {
		if slices.Equal(u.of(k), u.all[at:]) {
			u.all = u.all[:at]
			return k, true
		}
	}
	if u.index == nil {
		u.index = map[uint64][]int32{}
	}
	k := int32(at / u.caps)
	u.index[mark] = append(u.index[mark], k)
	return k, true
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
