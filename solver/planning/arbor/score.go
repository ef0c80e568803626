package arbor

import (
	"math"
	"math/big"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"github.com/ripwright/ripwright/solver/order"
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
	tried  int
	misses int
}

func newScorer(p *Problem, o *Options, s saw.Saw) *scorer {
	c := &scorer{p: p, o: o, saw: s, known: map[string]*Scored{}}
	for i := range p.Orders {
		c.items = append(c.items, unlimited(p.Orders[i].Items))
	}
	return c
}

// unlimited gives items as they are while an order is far from filled: what is
// filled is off, the rest has no limit.
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

// set gives the saw with its fixed blades elsewhere.
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

// score tries a setting. Nil: the blades cannot stand so, or it was stopped.
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
		c.known[key] = nil
		return nil
	}
	c.tried++
	n := len(c.p.Boards)
	plans := make([]*rip.Plan, n*len(c.items))
	run := func(i int) {
		if c.stopped() {
			return
		}
		p := rip.Problem{Board: c.p.Boards[i%n].Board, Saw: q, Items: c.items[i/n]}
		if r, err := rip.Solve(&p, rip.Options{Work: boardWork, Stop: c.o.Stop}); err == nil {
			plans[i] = r.Best
		} // else the saw does not take the board, which is worth nothing then
	}
	if c.o.Each != nil {
		c.o.Each(len(plans), run)
	} else {
		for i := range plans {
			run(i)
		}
	}
	if c.stopped() {
		return nil
	}
	s := c.sum(at, plans)
	c.known[key] = s
	return s
}

func appendKey(b []byte, at []unit.Length) []byte {
	for _, a := range at {
		for i := range 8 {
			b = append(b, byte(a>>(8*i)))
		}
	}
	return b
}

// sum adds up what the boards' plans come to.
func (c *scorer) sum(at []unit.Length, plans []*rip.Plan) *Scored {
	n := len(c.p.Boards)
	s := &Scored{Fixed: slices.Clone(at), exact: new(big.Int), each: make([]float64, n)}
	weights, boards, steps := int64(0), int64(0), 0.0
	for i := range c.p.Boards {
		boards += c.p.Boards[i].Count
	}
	for k := range c.items {
		weight := c.p.Orders[k].Weight
		weights += weight
		var before *rip.Plan
		for i := range c.p.Boards {
			count := c.p.Boards[i].Count
			part := float64(weight) * float64(count)
			s.Face += part * c.p.Boards[i].Board.Face().SquareMetres()
			plan := plans[k*n+i]
			if plan == nil {
				continue
			}
			w := plan.Worth.Big()
			s.exact.Add(s.exact, w.Mul(w, big.NewInt(weight*count)))
			s.each[i] += float64(weight) * plan.Worth.Money()
			s.Strip += part * plan.Account.Strip.SquareMetres()
			if before != nil {
				s.Travel += float64(weight) * travel(&c.saw, before, plan)
				steps += float64(weight)
			}
			before = plan
		}
	}
	for i := range s.each {
		s.each[i] /= float64(weights)
	}
	all := float64(weights) * float64(boards)
	worth, _ := new(big.Rat).SetFrac(s.exact, big.NewInt(weights*boards)).Float64()
	s.Worth = worth / 1e21
	s.Strip, s.Face = s.Strip/all, s.Face/all
	if steps > 0 {
		s.Travel /= steps
	}
	return s
}

// travel of fence and moving blades from one plan to the next, in mm.
func travel(s *saw.Saw, from, to *rip.Plan) float64 {
	d := (to.Fence - from.Fence).MM()
	sum := math.Abs(d)
	for j := range s.Blades {
		if s.Blades[j].Moving {
			sum += math.Abs((to.Blades[j] - from.Blades[j]).MM())
		}
	}
	return sum
}

// against sets the gain over today's setting: the boards' differences have a
// mean, and its error comes from how they spread.
func (s *Scored) against(today *Scored, p *Problem, level float64) {
	s.Moved = sequence.Moved(today.Fixed, s.Fixed)
	s.Gain = s.Worth - today.Worth
	boards, spread := 0.0, 0.0
	for i := range p.Boards {
		boards += float64(p.Boards[i].Count)
	}
	for i := range p.Boards {
		d := s.each[i] - today.each[i] - s.Gain
		spread += d * d * float64(p.Boards[i].Count) / boards
	}
	n := float64(len(p.Boards))
	if n < 2 {
		s.GainLow, s.GainHigh = s.Gain, s.Gain
		return
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile((1 + level) / 2)
	e := t * math.Sqrt(spread/(n-1))
	s.GainLow, s.GainHigh = s.Gain-e, s.Gain+e
}
