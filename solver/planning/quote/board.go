package quote

import (
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// boardWork limits the search for one board: few need that much, and a quote should not
// wait for one that needs far more.
const boardWork = 300_000

// board rips one board, or sets it aside. It reports false if it was stopped.
func (r *course) board(lot int, b *wood.Board) bool {
	r.limits()
	r.saw.Board = *b
	r.saw.Items = r.items
	if r.policy == Planned {
		r.saw.Items = order.CloneItems(r.items)
		r.line.Price(r.saw.Items, b)
		r.line.Sample.Add(b)
	}
	feet := lumber.BoardFeet(b)
	r.tally.drawn += b.Face().SquareMetres()
	of := &r.tally.lots[lot]
	of.boards++
	cost := feet * float64(r.p.Lots[lot].Price) / 1e6
	// As a line solves it: the choice among plans of equal worth matters.
	s, err := r.solve(rip.Options{Work: boardWork, Memory: r.o.Values.Memory, Stop: r.o.Values.Stop})
	if stopped(r.o) {
		return false
	}
	r.o.Values.Solved()
	lost := float64(r.p.Values.Lost) / values.Everything
	if f := r.line.Force; f != nil && lost < 1 && (err != nil || turned.Net(&r.saw, paced.Terms{}, s.Best).Money() < f.PerFace*b.Face().SquareMetres()*(1-lost)) {
		r.tally.aside++
		r.tally.cost += cost * lost
		of.cost += cost * lost
		return true
	}
	t := &r.tally
	t.boards++
	t.cost += cost
	t.feet += feet
	of.feet += feet
	of.cost += cost
	t.face += b.Face().SquareMetres()
	t.busy += r.takes(b, s)
	if err != nil {
		return true // the saw does not take it
	}
	if s.Best.Turn != wood.AsScanned {
		t.turned++
		t.turning += turned.Cost(&r.saw.Saw, s.Best.Turn).Money()
	}
	t.strip += s.Best.Account.Strip.SquareMetres()
	t.again += s.Best.Account.Rerip.SquareMetres()
	clear(r.made)
	r.pl.Demand.Made(s.Best, nil, r.made)
	for k, m := range r.made {
		t.made[k] += m
		if r.open[k] > 0 && m > 0 {
			r.progress = t.boards + t.aside
		}
		if r.open[k] > 0 && m >= r.open[k] {
			t.filledAt[k], t.last = t.boards, k
			t.byDue[k] = int64(t.boards+t.aside) <= r.pl.Demand.Rows[k].Due
		}
		r.open[k] -= min(m, r.open[k])
	}
	return true
}

// solve searches the board's plan as a line would, including turns if the saw can make
// them.
func (r *course) solve(o rip.Options) (*rip.Result, error) {
	if len(r.saw.Saw.Turns) == 0 {
		return rip.Solve(&r.saw, o)
	}
	return turned.Solve(&r.saw, paced.Terms{}, o)
}

// takes is the time that the saw needs for a board; s is nil if the board is not ripped.
func (r *course) takes(b *wood.Board, s *rip.Result) time.Duration {
	move := unit.Length(0)
	if s != nil {
		move = r.stand(s.Best)
	}
	c := r.p.Pace.Parts(b.Length, move)
	return c.Total
}

// stand leaves fence and blades where the plan has them, and gives the longest distance
// that one of them moves.
func (r *course) stand(p *rip.Plan) (longest unit.Length) {
	move := func(t *saw.Travel, to unit.Length) {
		longest = max(longest, to-t.Current, t.Current-to)
		t.Current = to
	}
	move(&r.saw.Saw.Fence, p.Fence)
	for j := range r.saw.Saw.Blades {
		if b := &r.saw.Saw.Blades[j]; b.Moving {
			move(&b.Travel, p.Blades[j])
		}
	}
	return longest
}

// limits sets the items' limits to what is open.
func (r *course) limits() {
	for k := range r.pl.Demand.Rows {
		row := &r.pl.Demand.Rows[k]
		it := &r.items[row.Item]
		if row.Cut != demand.Whole {
			c := &it.Cuts[row.Cut]
			c.Limited, c.Made, c.Required = true, 0, r.open[k]
			continue
		}
		it.Made, it.Required = 0, r.open[k]
	}
}

// area values all items by area, 10 per square metre.
func area(d *demand.Order) []order.Item {
	items := slices.Clone(d.Items)
	for i := range items {
		it := &items[i]
		if len(it.Cuts) == 0 {
			it.Value, it.Basis = 10_000_000, order.PerArea
			continue
		}
		it.Cuts = slices.Clone(it.Cuts)
		for c := range it.Cuts {
			it.Cuts[c].Value = unit.MulDiv(int64(it.Cuts[c].Length), int64(it.Min), int64(unit.Millimetre)*100_000)
		}
	}
	return items
}
