package arbor

import (
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// scorer tries settings of one kind of saw on the boards.
type scorer struct {
	p      *Problem
	o      *Options
	saw    saw.Saw
	items  [][]order.Item
	known  map[string]*Scored
	held   int       // approximate bytes of known
	top    []*Scored // the best ones, for which each board's worth is kept
	most   int       // greatest length of top
	tried  int
	solved int // boards solved
	today  []unit.Length
}

func newScorer(p *Problem, o *Options, s saw.Saw, most int) *scorer {
	c := &scorer{p: p, o: o, saw: s, known: map[string]*Scored{}, most: most, today: fixed(&p.Saw)}
	for i := range p.Orders {
		c.items = append(c.items, unlimited(p.Orders[i].Items))
	}
	return c
}

// unlimited gives the items as they are while an order is far from filled: filled items
// are off, the others have no limit.
func unlimited(items []order.Item) (out []order.Item) {
	for _, it := range items {
		if open, limited := it.Open(); limited && open == 0 {
			continue
		}
		it.Measure, it.Required, it.Made, it.PieceLength = order.Unlimited, 0, 0, 0
		it.Cuts = slices.Clone(it.Cuts)
		it.Cuts = slices.DeleteFunc(it.Cuts, func(c order.Cut) bool {
			open, limited := c.Open()
			return limited && open == 0
		})
		for c := range it.Cuts {
			it.Cuts[c].Limited = false
		}
		out = append(out, it)
	}
	return out
}

func (c *scorer) stopped() bool { return c.o.Stop != nil && c.o.Stop() }

// set gives the saw with its fixed blades moved.
func set(s saw.Saw, at []unit.Length) saw.Saw {
	s.Blades = slices.Clone(s.Blades)
	k := 0
	for i := range s.Blades {
		if !s.Blades[i].Moving {
			s.Blades[i].At = at[k]
			k++
		}
	}
	return s
}

// score tries a setting. Nil: the blades cannot stand there, or it was stopped.
func (c *scorer) score(at []unit.Length) *Scored {
	key := string(appendKey(nil, at))
	if s, ok := c.known[key]; ok {
		return s
	}
	if c.stopped() {
		return nil
	}
	q := set(c.saw, at)
	if len(q.Faults()) > 0 {
		c.know(key, nil)
		return nil
	}
	c.tried++
	n := len(c.p.Boards)
	s := &sums{c: c, scored: &Scored{Fixed: slices.Clone(at), exact: new(big.Int), each: make([]float64, n)}}
	plans := make([]*rip.Plan, min(chunk, n*len(c.items)))
	for from := 0; from < n*len(c.items); from += len(plans) {
		plans = plans[:min(len(plans), n*len(c.items)-from)]
		c.each(len(plans), func(i int) {
			plans[i] = nil
			if c.stopped() {
				return
			}
			if c.o.Boards != nil {
				c.o.Boards.Add(1)
			}
			p := rip.Problem{Board: c.p.Boards[(from+i)%n].Board, Saw: q, Items: c.items[(from+i)/n]}
			if r, err := demand.Solve(&p, rip.Options{Work: boardWork, Memory: c.o.Memory, Stop: c.o.Stop}); err == nil {
				plans[i] = r.Best
			} // otherwise the saw does not take the board, which is then worth nothing
		})
		if c.stopped() {
			return nil
		}
		c.solved += len(plans)
		for i, plan := range plans {
			s.add((from+i)/n, (from+i)%n, plan)
		}
	}
	s.scored.Moved, s.scored.way = sequence.Moved(c.today, at), way(c.today, at)
	c.know(key, s.mean())
	c.keep(s.scored)
	return s.scored
}

// chunk is the number of plans held at a time: a plan of a board with a thousand defects
// takes some ten thousand bytes.
const chunk = 256

func (c *scorer) each(n int, f func(int)) {
	if c.o.Each != nil {
		c.o.Each(n, f)
		return
	}
	for i := range n {
		f(i)
	}
}
