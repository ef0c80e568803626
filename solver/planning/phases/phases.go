// Package phases plans in which sequence the stacks of an order get the bays of an outfeed
// that has fewer than the order has stacks.
//
// A stack keeps its bay until it is filled, so an order is cut in phases, and its lumber
// depends on which stacks meet in them: what is left to the end is cut with little
// company. A sequence is judged as a flow: in a phase an average board makes what the best
// plans of the expected boards make of the items that have bays, at given values, until one
// is filled. The sequence is then improved by exchanging two stacks or moving one, until
// nothing helps: list scheduling with local search. What a set of items gives is worked out
// once.
package phases

import (
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
)

// Problem is an order that is cut through bays.
type Problem struct {
	Saw    saw.Saw
	Demand *demand.Order
	Boards []lumber.Kind // those expected
	Values []int64       // of the rows, in millionths of money per unit of each
	Stacks []int         // of each of the order's items
	Bays   int
	In     []int // stacks that have a bay
	// Waits are the stacks that have none, in a sequence to begin with.
	Waits []int
	Work  int64 // the most steps of the search for a board
	// Sets is for how many sets of rows boards are searched at most.
	Sets   int
	Memory int64 // of the search for a board
	Stop   func() bool
}

// Plan is a sequence, and what it comes to.
type Plan struct {
	Waits  []int   // as they get bays
	Boards float64 // that the order takes so, by parts
	Sets   [][]int // the stacks that have bays together, one set after the other
}

// search is one for a sequence.
type search struct {
	*Problem
	open  []float64            // of the rows
	rates map[string][]float64 // of the rows, by which of them have bays
	left  int                  // steps
}

// begin makes a problem ready.
func begin(p *Problem) *search {
	s := &search{Problem: p, rates: map[string][]float64{}, left: mostSteps}
	for k := range p.Demand.Rows {
		r := &p.Demand.Rows[k]
		s.open = append(s.open, r.Units(r.Open))
	}
	return s
}

// Find finds a sequence; nil: a limit came before there was one. One that comes later ends
// the search with the best so far.
func Find(p *Problem) *Plan {
	s := begin(p)
	best := s.cut(p.Waits)
	if best == nil {
		return nil
	}
	for better := true; better && !s.over(); {
		better = false
		for i := range p.Waits {
			for j := range p.Waits {
				for _, w := range moved(best.Waits, i, j) {
					if s.over() {
						return best
					}
					if q := s.cut(w); q != nil && q.Boards < best.Boards*(1-helps) {
						best, better = q, true
					}
				}
			}
		}
	}
	return best
}

// moved gives a sequence with the stack at i moved to j, and, once for each two, with both
// exchanged.
func moved(waits []int, i, j int) (all [][]int) {
	if i == j {
		return nil
	}
	w := slices.Clone(waits)
	all = append(all, slices.Insert(slices.Delete(w, i, i+1), j, waits[i]))
	if i < j {
		w := slices.Clone(waits)
		w[i], w[j] = w[j], w[i]
		all = append(all, w)
	}
	return all
}

// helps is by what part a sequence has to take fewer boards to be better.
const helps = 1e-6

// lost is how many boards it counts as that boards give nothing of what has bays.
const lost = 1000

// mostSteps bounds the trying of sequences, in rows looked at: about a second.
const mostSteps = 100_000_000

// over reports whether a limit came.
func (s *search) over() bool { return s.left < 0 || s.Stop != nil && s.Stop() }

// cut fills the order by a sequence; nil: a limit came.
func (s *search) cut(waits []int) *Plan {
	out := &Plan{Waits: waits}
	left, in := slices.Clone(s.open), slices.Clone(s.In)
	var before []int
	for {
		if s.left -= (len(in) + 1) * len(left); s.left < 0 {
			return nil
		}
		in = slices.DeleteFunc(in, func(stack int) bool { return !s.wants(stack, left) })
		for len(in) < s.Bays && len(waits) > 0 {
			if s.wants(waits[0], left) {
				in = append(in, waits[0])
			}
			waits = waits[1:]
		}
		if len(in) == 0 {
			return out
		}
		if !slices.Equal(in, before) {
			before = slices.Clone(in)
			out.Sets = append(out.Sets, before)
		}
		rate := s.rate(in, left)
		if rate == nil {
			return nil
		}
		boards := math.Inf(1)
		for k, r := range rate {
			if r > 0 {
				boards = math.Min(boards, left[k]/r)
			}
		}
		if math.IsInf(boards, 1) { // boards give nothing of what is in the bays
			in = nil
			out.Boards += lost
			continue
		}
		out.Boards += boards
		for k, r := range rate {
			if left[k] -= boards * r; left[k] < 1e-9*s.open[k] {
				left[k] = 0
			}
		}
	}
}

func (s *search) wants(stack int, left []float64) bool {
	for k := range left {
		if left[k] > 0 && s.Stacks[s.Demand.Rows[k].Item] == stack {
			return true
		}
	}
	return false
}

// rate is what a board makes of each row on the mean, where these stacks have bays.
func (s *search) rate(in []int, left []float64) []float64 {
	values, key := make([]int64, len(left)), make([]byte, len(left))
	for k := range left {
		if left[k] > 0 && slices.Contains(in, s.Stacks[s.Demand.Rows[k].Item]) {
			values[k], key[k] = max(s.Values[k], 1), 1
		}
	}
	if r, ok := s.rates[string(key)]; ok {
		return r
	}
	if len(s.rates) >= s.Sets || s.Stop != nil && s.Stop() {
		return nil
	}
	items, kept := s.Demand.Priced(values, nil)
	out, made, count := make([]float64, len(left)), make([]int64, len(left)), 0.0
	for i := range s.Boards {
		b := &s.Boards[i]
		count += float64(b.Count)
		r, err := demand.Solve(&rip.Problem{Board: b.Board, Saw: s.Saw, Items: items}, rip.Options{Work: s.Work, Memory: s.Memory, Stop: s.Stop})
		if err != nil {
			continue
		}
		clear(made)
		s.Demand.Made(r.Best, kept, made)
		for k := range made {
			out[k] += float64(b.Count) * s.Demand.Rows[k].Units(made[k])
		}
	}
	for k := range out {
		if values[k] == 0 {
			out[k] = 0
		}
		out[k] /= count
	}
	s.rates[string(key)] = out
	return out
}
