// Package phases plans the sequence in which the stacks of an order get the bays of an
// outfeed that has fewer bays than the order has stacks.
//
// A stack keeps its bay until it is filled, so an order is cut in phases, and the lumber
// it takes depends on which stacks share a phase: the last ones are cut with few others.
// A sequence is evaluated as a flow: in a phase an average board makes what the best
// plans of the expected boards make, at given values, of the items that have bays, until
// one is filled. The sequence is then improved by exchanging two stacks or moving one
// until nothing helps: list scheduling with local search. What a set of items gives is
// computed once.
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
	Boards []lumber.Kind // the expected ones
	Values []int64       // of the rows, in millionths of money per unit of each
	Stacks []int         // of each of the order's items
	Bays   int
	In     []int // stacks that have a bay
	// Waits are the stacks without a bay, in the starting sequence.
	Waits []int
	Work  int64 // the most steps of the search for a board
	// Sets is the most sets of rows for which boards are searched.
	Sets   int
	Memory int64 // of the search for a board
	Stop   func() bool
}

// Plan is a sequence and its result.
type Plan struct {
	Waits  []int   // in the order in which they get bays
	Boards float64 // boards that the order takes, with fractions
	Sets   [][]int // the stacks that have bays together, one set after another
}

// search is a search for a sequence.
type search struct {
	*Problem
	open  []float64            // of the rows
	rates map[string][]float64 // of the rows, by the set of rows that have bays
	left  int                  // steps
	wrong error                // of a board
}

// begin prepares a problem.
func begin(p *Problem) *search {
	s := &search{Problem: p, rates: map[string][]float64{}, left: mostSteps}
	for k := range p.Demand.Rows {
		r := &p.Demand.Rows[k]
		s.open = append(s.open, r.Units(r.Open))
	}
	return s
}

// Find finds a sequence; nil: a limit was reached before there was one. After that a
// limit ends the search with the best so far. The error is that of a board that cannot be
// searched, such as lengths that combine in too many ways; it has the paths of the items
// searched, not those of the order.
func Find(p *Problem) (*Plan, error) {
	s := begin(p)
	best := s.improved()
	if s.wrong != nil {
		return nil, s.wrong
	}
	return best, nil
}

// improved cuts the order by the given sequence, and by better ones.
func (s *search) improved() *Plan {
	best := s.cut(s.Waits)
	if best == nil {
		return nil
	}
	for better := true; better && !s.over(); {
		better = false
		for i := range s.Waits {
			for j := range s.Waits {
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

// moved gives the sequences with the stack at i moved to j, and, once for each pair, with
// both exchanged.
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

// helps is the fraction by which a sequence must take fewer boards to be better.
const helps = 1e-6

// lost is the penalty, in boards, if boards give nothing of what has bays.
const lost = 1000

// rounding is the part of what is wanted of a row that counts as none when it is left over:
// far more than the error of the sums, and far less than a strip.
const rounding = 1e-9

// mostSteps limits the evaluation of sequences, in rows visited: about a second.
const mostSteps = 100_000_000

// over reports whether a limit was reached, or a board could not be searched.
func (s *search) over() bool { return s.wrong != nil || s.left < 0 || s.Stop != nil && s.Stop() }

// cut fills the order by a sequence; nil: a limit was reached, or a board could not be
// searched.
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
			if left[k] -= boards * r; left[k] < rounding*s.open[k] {
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

// rate is what an average board makes of each row if these stacks have bays; nil as for
// cut.
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
		if demand.Refused(err) {
			continue
		}
		if err != nil {
			s.wrong = err
			return nil
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
