// Package incumbent finds good plans before anything is proven: start heuristics and
// improvements. It bounds nothing. The caller scores the offered plans exactly and keeps
// the best in a pool against which the search prunes.
//
// # Method
//
// The frame is the board's: a blade at a on the arbor stands at height y = a - fence.
//
//   - The first plans need no tables: a bound on the strips that fit a width, as though they
//     could be cut in fractions, estimates what is still to come (relaxed). A limit that
//     ends the search leaves time for no more.
//   - A coarse cost-to-go table over some hundred heights on either side of the fixed
//     blades estimates what each number of moving blades can still bring outwards from
//     a height. Where the board is clear from end to end, an entry costs an addition for
//     each item and a step of a monotone deque for each range; beside rough edges
//     strips are measured, at a stride that limits their number.
//   - The estimates of both sides and of what lies between the fixed blades rank the
//     stops of the fence.
//   - At the best stops a beam search places blades exactly, guided by these
//     (Ow and Morton, Filtered beam search in scheduling, 1988: candidates are filtered
//     by their estimates before they are measured).
//   - Caps that the estimates overrun get Lagrange multipliers, by a few subgradient
//     steps (Fisher, The Lagrangian relaxation method for solving integer programming
//     problems, 1981); the beam keeps caps exactly.
//   - The best plans are improved by moving the fence a little, with blades placed
//     again, and by wider beams.
//
// All arithmetic is in integers and in an order that depends on the problem alone, so
// plans are the same on every machine.
package incumbent

import "github.com/ripwright/ripwright/solver/wood"

// Problem is a board on a saw for the heuristics. Lengths are in nanometres.
type Problem struct {
	Kerf, Gap, Step          int64
	FenceLo, FenceHi, Fence0 int64 // stops of the fence, and its present place
	Blades                   []Blade
	// Straight says that the near edge is straight: y = 0 bounds the first pocket,
	// without a kerf.
	Straight         bool
	Clear            *wood.Clear
	FullLo, FullHi   int64 // the band that is clear from end to end
	OuterLo, OuterHi int64 // nothing is clear outside
	Edges            int   // stations of both edges, a measure of the cost of a strip
	Defects          int   // of the board, with which strips of spotted items are compared
	Items            []Item
	// Strip gives the worth of an item's strip in the band [near, far] with these runs,
	// which the edges alone leave, and what it counts towards its cap. Worth is in units
	// of which a plan has fewer than 2^52. 0: it cannot be cut, or not with gain.
	Strip func(item int, near, far int64, runs []wood.Stretch) (worth, amount int64)
}

// Blade has the stops that it can reach while all others keep order and gaps. For a fixed
// one they are equal.
type Blade struct {
	Moving bool
	Lo, Hi int64
}

// Item may be cut from pockets Lo to Hi wide.
type Item struct {
	Lo, Hi int64
	// ByWidth says that a wider strip is worth more, in proportion. Otherwise the
	// narrowest is worth as much as any.
	ByWidth bool
	// Spotted says that defects break the item's runs, so that a strip must be measured
	// even where the edges are clear.
	Spotted bool
	// Open is the total that the item's strips without the largest must stay below; 0: no
	// cap.
	Open int64
}

// Bytes bounds the memory of a run.
func (p *Problem) Bytes() int64 {
	const entry, strip = 24, 16 // of a table, measured
	n, k, ranges := int64(len(p.Blades)+2), int64(len(p.Items)+1), int64(0)
	for i := range p.Items {
		if p.Items[i].ByWidth {
			ranges++
		}
	}
	sides := 2 * (2*heights*(n*entry+8*k) + 2*strip*mostBanded*ranges)
	return sides + 2*2*strip*mostKept + 1<<17 // caches of the edges, and the beam
}

// None stands for no item in a pocket.
const None = -1

// Plan is where fence and blades stand and the item in each pocket: with a straight edge,
// first the pocket between that and blade 0, then those between neighbours.
type Plan struct {
	Fence  int64
	Blades []int64
	Items  []int
	Worth  int64 // the sum of its strips
}

// Options of a run.
type Options struct {
	// Spend counts steps of work and reports whether to continue. A step is about as long
	// as a search's, a few hundred nanoseconds at most.
	Spend func(steps int64) bool
	// Offer takes each plan that is better than those before. The caller may keep it.
	Offer func(*Plan)
}

// Heuristic looks for plans of one problem. It is not safe for concurrent use.
type Heuristic struct{ h *heuristic }

// New prepares a problem.
func New(p *Problem, o Options) *Heuristic { return &Heuristic{newHeuristic(p, o)} }

// Start looks for a good plan quickly.
func (h *Heuristic) Start() { h.h.start() }

// Tables looks for better ones by tables, once, after Start.
func (h *Heuristic) Tables() { h.h.tables() }

// Late looks for better ones for some tenths of a millisecond, after Start, if a limit has ended
// the search.
func (h *Heuristic) Late() { h.h.late() }

// Improve looks for better ones, once, after Tables.
func (h *Heuristic) Improve() { h.h.better() }
