package quote

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// course is one order run to its end.
type course struct {
	p      *Problem
	o      *Options
	policy Policy
	pl     *values.Planner
	plan   *values.Plan
	shares []float64 // of the lots, running sums

	open  []int64 // of all rows, what is still wanted
	made  []int64 // of all rows, by the board at hand
	items []order.Item
	line  replan.Course // by planned values: those of a line
	saw   rip.Problem
	tally tally
	ticks ticks
	// progress is the board, set aside or not, that last made something open.
	progress int
}

// tally is what a run came to.
type tally struct {
	boards, aside           int
	feet, face, strip, cost float64
	again                   float64       // m2 worth feeding again
	busy                    time.Duration // of the saw
	made                    []int64
	filledAt                []int
	byDue                   []bool
	last                    int // the row that was filled last
	unfinished              bool
	lots                    []taken
	curve                   [][Tenths]float64
}

// taken is what a run took of a lot.
type taken struct {
	boards     int
	feet, cost float64
}

// boardWork limits the search for one board: few need as much, and a quote shall
// not wait for one that needs far more.
const boardWork = 300_000

func (r *course) start(open []int64) {
	r.open, r.made = slices.Clone(open), make([]int64, len(open))
	r.saw.Saw = r.p.Values.Saw
	r.saw.Saw.Blades = slices.Clone(r.saw.Saw.Blades)
	r.tally = tally{made: make([]int64, len(open)), filledAt: make([]int, len(open)), byDue: make([]bool, len(open)), last: -1,
		lots: make([]taken, len(r.p.Lots))}
	for _, k := range r.plan.Impossible {
		r.open[k] = 0
	}
	switch r.policy {
	case Yield:
		r.items = area(r.pl.Demand)
		r.saw.Saw.Rerip.Width = 0
	case Planned, Own:
		r.items = order.CloneItems(r.pl.Demand.Items)
	}
}

// left reports whether anything is still wanted.
func (r *course) left() bool {
	return slices.ContainsFunc(r.open, func(v int64) bool { return v > 0 })
}

// to runs the order to its end. It reports false if it was stopped. Boards are drawn
// from random, those that a line is told beforehand from told.
func (r *course) to(random, told *rand.Rand, target []int64) bool {
	if r.policy == Planned {
		var expected []wood.Board
		for range replan.MaxBoards {
			expected = append(expected, r.p.Lots[r.lot(told)].From.Draw(told))
		}
		r.line.Sample.Expect(expected)
		r.line.Anew()
	}
	for r.left() {
		if stopped(r.o) {
			return false
		}
		if r.tally.boards+r.tally.aside >= r.o.MostBoards || r.stalled() {
			r.tally.unfinished = true
			r.tally.last = r.behind(target)
			break
		}
		if r.policy == Planned && !r.replan() {
			return false
		}
		lot, ok := r.next(random)
		if !ok { // there are no more boards
			r.tally.unfinished = true
			r.tally.last = r.behind(target)
			break
		}
		b := r.p.Lots[lot].From.Draw(random)
		if !r.board(lot, &b) {
			return false
		}
		r.ticks.add(r.tally.boards, r.tally.made)
	}
	r.tally.curve = r.ticks.curve(r.tally.boards, target)
	return true
}

// replan plans values again if it is time to, as a line does. It reports false if it
// was stopped.
func (r *course) replan() bool {
	first := r.line.Tried == 0 && r.line.Planned == 0 && r.line.Failed == 0
	if !first && (r.o.Replan == 0 || !r.line.Due(int64(r.o.Replan))) {
		return true
	}
	r.limits()
	t := r.line.Task(r.p.Values.Saw, r.items, nil, r.p.Values.Lost)
	if t == nil {
		return true
	}
	o := r.o.Values
	o.Each = nil
	set, err := t.Plan(o)
	if stopped(r.o) {
		return false
	}
	why := ""
	if err != nil {
		set, why = nil, err.Error()
	}
	r.line.Take(t, set, why)
	return true
}

// patience is how many boards, beyond twice those that it took to get where it
// is, a run goes on without making anything that is open: by these values nothing
// will come of it.
const patience = 500

func (r *course) stalled() bool {
	n := r.tally.boards + r.tally.aside
	return n > 2*r.progress+patience
}

// behind gives the row that is filled least.
func (r *course) behind(target []int64) int {
	last, most := -1, 0.0
	for k, open := range r.open {
		if part := float64(open) / float64(target[k]); open > 0 && part > most {
			last, most = k, part
		}
	}
	return last
}

// next gives the lot that the next board is of; false: none has any more.
func (r *course) next(random *rand.Rand) (int, bool) {
	if !r.p.Stock {
		return r.lot(random), true
	}
	// Of those with boards left the one that lags most behind its share. Where the plan's
	// lots are used up the cheapest of the others has to do.
	best, most, so := -1, 0.0, float64(r.tally.boards+r.tally.aside+1)/r.shares[len(r.shares)-1]
	before := 0.0
	for g, s := range r.shares {
		share := s - before
		before = s
		if lot := &r.p.Values.Lots[g]; lot.Limited && float64(r.tally.lots[g].boards+1) > lot.Most {
			continue
		}
		lags := share*so - float64(r.tally.lots[g].boards)
		if share <= 0 {
			lags = math.Inf(-1) // before none
		}
		if best < 0 || lags > most || lags == most && math.IsInf(lags, -1) && r.p.Lots[g].Price < r.p.Lots[best].Price {
			best, most = g, lags
		}
	}
	return best, best >= 0
}

// lot draws the lot that a board is of.
func (r *course) lot(random *rand.Rand) int {
	if len(r.shares) == 1 {
		return 0
	}
	at := random.Float64() * r.shares[len(r.shares)-1]
	for g, s := range r.shares {
		if at < s {
			return g
		}
	}
	return len(r.shares) - 1
}

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
	of := &r.tally.lots[lot]
	of.boards++
	cost := feet * float64(r.p.Lots[lot].Price) / 1e6
	// As a line solves it: of plans that are worth the same it matters which.
	s, err := rip.Solve(&r.saw, rip.Options{Work: boardWork, Memory: r.o.Values.Memory, Stop: r.o.Values.Stop})
	if stopped(r.o) {
		return false
	}
	r.o.Values.Solved()
	lost := float64(r.p.Values.Lost) / values.Everything
	if f := r.line.Force; f != nil && lost < 1 && (err != nil || s.Best.Worth.Money() < f.PerFace*b.Face().SquareMetres()*(1-lost)) {
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

// takes is how long the saw takes for a board; s is nil where it does not rip it.
func (r *course) takes(b *wood.Board, s *rip.Result) time.Duration {
	move := unit.Length(0)
	if s != nil {
		move = r.stand(s.Best)
	}
	c := r.p.Pace.Parts(b.Length, move)
	return c.Total
}

// stand leaves fence and blades where the plan has them, and gives the longest way
// that one of them goes.
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

// limits puts what is open into the items.
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

// area makes all items worth their area, 10 a square metre.
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
