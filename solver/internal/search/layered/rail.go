package layered

import (
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// rail has the ends of clear strips of one range of widths from one layer and state. If
// such strips lie side by side, every division of the wood between them is equally good,
// and each of hundreds of beginnings has hundreds of best ends. Since a score is linear
// in the end, one order of the ends serves all beginnings, and the best within a window
// of them is that of two halves, each the tail or the head of a block as long as the
// window (van Herk, A fast algorithm for local minimum and maximum filters, 1992): a
// constant cost for each end and each beginning.
type rail struct {
	g      *Graph
	k, to  int // layer and state of the ends
	want   *model.Want
	window int
	useful []bool
	score  []model.Score // by end: what follows it and the end's part of the strip
	head   []int32       // by end: the best from its block's first entry up to it, -1: none
	tail   []int32       // the best from it up to its block's last entry
	filled []bool        // by block

	stamp                []int32 // by block
	travel               []ends  // by end: that of the blade at it and beyond
	headLeast, tailLeast []ends
}

// span is the best ends of one beginning: those on a rail from one entry to another
// that have the best score there.
type span struct{ rail, from, to int32 }

// endBytes is the memory of an end.
const endBytes = int(unsafe.Sizeof(model.Score{})+3*unsafe.Sizeof(ends{})) + 2*4 + 1 + 2*5

// railOf gives the rail of a range, with k blades and a state before its strips.
func (g *Graph) railOf(k, st int, c costtogo.Clear) int32 {
	key := [4]int{k, st, c.Kind, c.Index}
	if id, ok := g.railAt[key]; ok {
		return id
	}
	n := g.n
	if !g.hold(n * endBytes) {
		return -1
	}
	w := c.Hi - c.Lo + 1
	blocks := n/w + 1
	r := &rail{}
	if l := len(g.spare); l > 0 { // its memory is reused; what it says of ends is valid only once computed
		r, g.spare = g.spare[l-1], g.spare[:l-1]
	}
	*r = rail{g: g, k: k - 1, to: c.State, want: c.Want, window: w, useful: cleared(r.useful, n), score: sized(r.score, n),
		head: sized(r.head, n), tail: sized(r.tail, n), filled: cleared(r.filled, blocks), stamp: cleared(r.stamp, blocks),
		travel: sized(r.travel, n), headLeast: sized(r.headLeast, n), tailLeast: sized(r.tailLeast, n)}
	g.side.Useful(k, st, &c, r.useful)
	id := int32(len(g.rails))
	g.rails = append(g.rails, r)
	if g.railAt == nil {
		g.railAt = map[[4]int]int32{}
	}
	g.railAt[key] = id
	return id
}

// better gives the end with the better score, the first of equals; -1 stands for none.
func (r *rail) better(a, b int32) int32 {
	if a < 0 || b >= 0 && r.score[b].Cmp(&r.score[a]) > 0 {
		return b
	}
	return a
}

// fill computes the ends of a block.
func (r *rail) fill(b int) {
	if r.filled[b] {
		return
	}
	r.filled[b] = true
	lo, hi := b*r.window, min((b+1)*r.window, r.g.n)
	best := int32(-1)
	for e := lo; e < hi && !r.g.side.P.Over(8); e++ {
		if r.useful[e] {
			id := r.g.node(r.k, r.to, e)
			r.g.after(id)
			end, _ := r.g.side.Linear(r.k+1, r.want, e)
			top := r.g.scores[r.g.at(id).top]
			r.score[e] = top.Plus(end)
			r.score[e].Blades += r.g.side.InWood(r.k, e)
			if r.useful[e] = top.Worth.Hi >= 0; r.useful[e] {
				best = r.better(best, int32(e))
			}
		}
		r.head[e] = best
	}
	best = -1
	for e := hi - 1; e >= lo; e-- {
		if r.useful[e] && (best < 0 || r.score[e].Cmp(&r.score[best]) >= 0) {
			best = int32(e)
		}
		r.tail[e] = best
	}
	r.g.side.P.Over(8 * r.window)
}

// best gives the first of the best ends from an entry to another, at most a window apart,
// or -1.
func (r *rail) best(from, to int) int32 {
	r.fill(from / r.window)
	if from/r.window == to/r.window {
		if from%r.window == 0 {
			return r.head[to]
		}
		if (to+1)%r.window == 0 {
			return r.tail[from]
		}
		best := int32(-1)
		for e := from; e <= to && !r.g.side.P.Over(4); e++ {
			if r.useful[e] {
				best = r.better(best, int32(e))
			}
		}
		return best
	}
	r.fill(to / r.window)
	return r.better(r.tail[from], r.head[to])
}

// widest gives the best ends of a beginning with their score.
func (g *Graph) widest(k, st, e int, c costtogo.Clear) (span, model.Score, bool) {
	id := g.railOf(k, st, c)
	if id < 0 {
		return span{}, none, false
	}
	r := g.rails[id]
	b := r.best(c.From, c.To)
	if b < 0 || g.Full {
		return span{}, none, false
	}
	_, begin := g.side.Linear(k, c.Want, e)
	return span{id, int32(c.From), int32(c.To)}, r.score[b].Minus(begin), true
}

// fit computes the travel of a block's ends over the fences at hand, and the least among
// the best of its heads and tails.
func (r *rail) fit(b int) {
	if r.stamp[b] == r.g.stamp {
		return
	}
	r.stamp[b] = r.g.stamp
	lo, hi := b*r.window, min((b+1)*r.window, r.g.n)
	r.g.side.P.Over(8 * r.window)
	least := farEnds
	for e := lo; e < hi && !r.g.side.P.Over(8); e++ {
		if r.useful[e] {
			r.travel[e] = r.g.reachTop(r.g.node(r.k, r.to, e), r.g.room)
			switch at := r.head[e]; {
			case at == int32(e):
				least = r.travel[e]
			case r.score[e] == r.score[at]:
				least = least.or(r.travel[e])
			}
		}
		r.headLeast[e] = least
	}
	least = farEnds
	for e := hi - 1; e >= lo; e-- {
		if r.useful[e] && r.tail[e] == int32(e) {
			if e+1 < hi && r.tail[e+1] >= 0 && r.score[r.tail[e+1]] == r.score[e] {
				least = least.or(r.travel[e])
			} else {
				least = r.travel[e]
			}
		}
		r.tailLeast[e] = least
	}
}

// least gives the least travel over the best ends of a span.
func (r *rail) least(s span) (least ends) {
	from, to := int(s.from), int(s.to)
	r.fit(from / r.window)
	if from/r.window != to/r.window {
		r.fit(to / r.window)
		a, b := r.tail[from], r.head[to]
		switch {
		case a < 0:
			return r.headLeast[to]
		case b < 0:
			return r.tailLeast[from]
		}
		switch c := r.score[a].Cmp(&r.score[b]); {
		case c > 0:
			return r.tailLeast[from]
		case c < 0:
			return r.headLeast[to]
		}
		return r.tailLeast[from].or(r.headLeast[to])
	}
	if from%r.window == 0 {
		return r.headLeast[to]
	}
	if (to+1)%r.window == 0 {
		return r.tailLeast[from]
	}
	least = farEnds
	r.ends(s, func(e int32) { least = least.or(r.travel[e]) })
	return least
}

// ends calls f with the best ends of a span.
func (r *rail) ends(s span, f func(e int32)) {
	b := r.best(int(s.from), int(s.to))
	for e := s.from; e <= s.to && !r.g.side.P.Over(4); e++ {
		if r.useful[e] && r.score[e] == r.score[b] {
			f(e)
		}
	}
}
