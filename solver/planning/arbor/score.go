package arbor

import (
	"cmp"
	"math"
	"math/big"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

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
	held   int       // bytes of known, about
	top    []*Scored // the best ones, of which single boards are known
	most   int       // how many
	tried  int
	solved int // boards
	today  []unit.Length
}

func newScorer(p *Problem, o *Options, s saw.Saw, most int) *scorer {
	c := &scorer{p: p, o: o, saw: s, known: map[string]*Scored{}, most: most, today: fixed(&p.Saw)}
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
			} // else the saw does not take the board, which is worth nothing then
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

// chunk is how many plans are held at a time: one of a board with a thousand defects
// has some ten thousand bytes.
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

// MostKnown bounds the bytes of settings that are known again. Beyond it they are
// forgotten, and scored again where the search comes back to them.
const MostKnown = 16 << 20

// know remembers what a setting comes to.
func (c *scorer) know(key string, s *Scored) {
	const beside = 400 // a Scored, its sum, and their place in the map
	if c.held += beside + 2*len(key); c.held > MostKnown/2 {
		clear(c.known)
		c.held = beside + 2*len(key)
	}
	c.known[key] = s
}

// keep remembers what single boards are worth for the best settings alone, and of those
// that are alike for the best one.
func (c *scorer) keep(s *Scored) {
	at, known := slices.BinarySearchFunc(c.top, s, better)
	if known { // it was forgotten, and is no other setting
		return
	}
	for _, other := range c.top[:at] {
		if c.alike(s, other) {
			s.each = nil
			return
		}
	}
	after := slices.DeleteFunc(slices.Clone(c.top[at:]), func(other *Scored) bool {
		if c.alike(s, other) {
			other.each = nil
			return true
		}
		return false
	})
	c.top = append(append(c.top[:at], s), after...)
	if n := len(c.top) - 1; n >= c.most {
		c.top[n].each = nil
		c.top = c.top[:n]
	}
}

// differ is by how much some pocket of two settings has to differ for both to be worth
// suggesting, where spacers allow as little.
const differ = 3 * unit.Millimetre

// alike reports whether two settings are the same but for where they begin, or nearly.
func (c *scorer) alike(a, b *Scored) bool {
	if len(a.Fixed) != len(b.Fixed) {
		return false
	}
	for i := 1; i < len(a.Fixed); i++ {
		d := a.Fixed[i] - a.Fixed[i-1] - b.Fixed[i] + b.Fixed[i-1]
		if max(d, -d) >= max(differ, c.p.Spacers.Increment) {
			return false
		}
	}
	return true
}

// way is how far blades go from one setting to another, added up; blades that are put
// on or taken off go no way.
func way(from, to []unit.Length) (sum unit.Length) {
	for i := range min(len(from), len(to)) {
		sum += max(from[i]-to[i], to[i]-from[i])
	}
	return sum
}

// better puts the setting worth more first; among equals that for which fewer blades are
// moved, then that for which they go less far, then that nearest to the datum.
func better(a, b *Scored) int {
	if d := b.exact.Cmp(a.exact); d != 0 {
		return d
	}
	return cmp.Or(cmp.Compare(a.Moved, b.Moved), cmp.Compare(a.way, b.way), slices.Compare(a.Fixed, b.Fixed))
}

func appendKey(b []byte, at []unit.Length) []byte {
	for _, a := range at {
		for i := range 8 {
			b = append(b, byte(a>>(8*i)))
		}
	}
	return b
}

// sums adds up what boards' plans come to, order by order.
type sums struct {
	c      *scorer
	scored *Scored
	before *rip.Plan // of the order's board before
	cycle  float64   // s, weighted
	cycles float64   // weights
}

// add counts a board's plan for an order; nil: the saw does not take the board.
func (s *sums) add(order, board int, plan *rip.Plan) {
	c, b := s.c, &s.c.p.Boards[board]
	if board == 0 {
		s.before = nil
	}
	weight := c.p.Orders[order].Weight
	part := float64(weight) * float64(b.Count)
	s.scored.Face += part * b.Board.Face().SquareMetres()
	if plan == nil {
		return
	}
	w := plan.Worth.Big()
	s.scored.exact.Add(s.scored.exact, w.Mul(w, big.NewInt(weight*b.Count)))
	s.scored.each[board] += float64(weight) * plan.Worth.Money()
	s.scored.Strip += part * plan.Account.Strip.SquareMetres()
	if s.before != nil || len(c.p.Boards) == 1 {
		t := c.p.Pace.Parts(b.Board.Length, move(s.before, plan))
		s.cycle += part * t.Total.Seconds()
		s.cycles += part
	}
	s.before = plan
}

// mean gives what a mean board comes to.
func (s *sums) mean() *Scored {
	weights, boards := int64(0), int64(0)
	for i := range s.c.p.Boards {
		boards += s.c.p.Boards[i].Count
	}
	for k := range s.c.p.Orders {
		weights += s.c.p.Orders[k].Weight
	}
	out := s.scored
	for i := range out.each {
		out.each[i] /= float64(weights)
	}
	all := float64(weights) * float64(boards)
	worth, _ := new(big.Rat).SetFrac(out.exact, big.NewInt(weights*boards)).Float64()
	out.Worth = worth / 1e21
	out.Strip, out.Face = out.Strip/all, out.Face/all
	if s.cycles > 0 {
		out.Cycle = s.cycle / s.cycles
	}
	return out
}

// move is the longest way of fence and blades from one plan to the next.
func move(from, to *rip.Plan) unit.Length {
	if from == nil {
		return 0
	}
	d := to.Fence - from.Fence
	longest := max(d, -d)
	for j := range to.Blades { // fixed ones go nowhere
		d := to.Blades[j] - from.Blades[j]
		longest = max(longest, d, -d)
	}
	return longest
}

// against sets the gain over today's setting: the boards' differences have a
// mean, and its error comes from how they spread.
func (s *Scored) against(today *Scored, p *Problem, level float64) {
	s.Boards = len(p.Boards)
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
