package values

import (
	"errors"
	"fmt"
	"slices"
	"sync/atomic"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// policy is a column of the programme: what an average board of a lot gives and costs
// when it is cut by certain values.
type policy struct {
	lot  int
	cost float64   // per board, in units of the objective
	made []float64 // per board, in units of each row
	// over is, for each row that can be capped, the most that a board makes of it without
	// its largest strip. If that is at least what is open, the board makes more than is
	// wanted in all.
	over []int64
	// alone is the only row that it was priced for. If -1, it was priced for the rows due
	// later than after.
	alone int
	after int64
	// plan is the plan of the first kind of board, for lots of one kind.
	plan *rip.Plan
	kept []int // maps the plan's items to the order's
	// idle counts the rounds in which the programme did not use it.
	idle int
}

// priced is the result of pricing a lot's boards by values.
type priced struct {
	worth []unit.Worth // upper bound on the worth of each kind
	found []unit.Worth // worth of the plan found for each kind
	keep  []bool       // not set aside
	policy
}

// chunk is the number of plans held at a time: a plan of a board with a thousand defects
// takes some ten thousand bytes.
const chunk = 256

// few is small, since boards with the same values are ripped much alike, and more than one,
// so that they can be searched at once.
const few = 2

// price cuts every lot's boards by values, in millionths of money per unit of each row.
// rate is the worth of a unit of cost in the same money: a board is set aside if its
// worth is below what setting it aside saves, unless all is true. It reports false if it
// was stopped before the end.
//
// No board makes more of a row that can be capped than is open, except for its last strip
// of that row.
func (pl *Planner) price(values, open []int64, rate float64, all bool, o *Options) ([]priced, bool) {
	lots := make([]int, len(pl.p.Lots))
	for g := range lots {
		lots[g] = g
	}
	return pl.priceLots(lots, values, open, rate, all, o, nil)
}

// priceLots is price for the boards of some lots. next, if not nil, is called after every
// few boards, with what was made so far, and may change the values for the following.
func (pl *Planner) priceLots(lots []int, values, open []int64, rate float64, all bool, o *Options, next func([]priced)) ([]priced, bool) {
	if pl.beyond {
		open = nil
	}
	out, items, kept := make([]priced, len(lots)), make([][]order.Item, len(lots)), make([][]int, len(lots))
	type job struct{ of, kind int } // of: the number in lots
	var jobs []job
	for i, g := range lots {
		n := len(pl.p.Lots[g].Kinds)
		out[i].worth, out[i].found, out[i].keep = make([]unit.Worth, n), make([]unit.Worth, n), make([]bool, n)
		out[i].lot, out[i].alone, out[i].made = g, -1, make([]float64, len(values))
		out[i].over = make([]int64, len(values))
		for t := range n {
			jobs = append(jobs, job{i, t})
		}
	}
	size := chunk
	if next != nil {
		size = few
	}
	plans, made, largest := make([]*rip.Plan, min(size, len(jobs))), make([]int64, len(values)), make([]int64, len(values))
	var stopped atomic.Bool
	for from := 0; from < len(jobs); from += size {
		part := jobs[from:min(from+size, len(jobs))]
		if from > 0 && next != nil {
			next(out)
		}
		for i := part[0].of; i <= part[len(part)-1].of; i++ {
			items[i], kept[i] = pl.Demand.Priced(pl.only(lots[i], values), open)
		}
		o.each(len(part), func(i int) {
			if stopped.Load() || o.stopped() {
				stopped.Store(true)
				return
			}
			j := part[i]
			lot := lots[j.of]
			q := rip.Problem{Board: pl.p.Lots[lot].Kinds[j.kind].Board, Saw: *pl.saw(lot), Items: items[j.of]}
			if plans[i] = nil; len(q.Items) == 0 {
				return
			}
			// Irrelevant here, and it makes a search longer to prove.
			q.Saw.Rerip.Width = 0
			r, err := demand.Solve(&q, rip.Options{Stop: o.Stop, Work: o.Work, Memory: o.Memory})
			if demand.Refused(err) {
				return // it costs and gives nothing
			}
			if err != nil {
				if l := tooManyWays(&q, err, kept[j.of]); l != nil {
					err = l
				}
				pl.failed.CompareAndSwap(nil, &err)
				stopped.Store(true)
				return
			}
			pl.work.Add(r.Work)
			o.Solved()
			if r.EndedBy == rip.TimeLimit {
				stopped.Store(true)
			}
			out[j.of].worth[j.kind], out[j.of].found[j.kind] = r.Bound, r.Best.Worth
			plans[i] = r.Best
		})
		if stopped.Load() {
			return nil, false
		}
		for i, j := range part {
			pl.count(&out[j.of], kept[j.of], j.kind, plans[i], rate, all, made, largest)
		}
	}
	for i := range out {
		total := int64(0)
		for _, k := range pl.p.Lots[out[i].lot].Kinds {
			total += k.Count
		}
		out[i].cost /= float64(total)
		for k := range out[i].made {
			out[i].made[k] /= float64(total)
		}
	}
	return out, true
}

// only gives the values of the rows that a lot's boards may give.
func (pl *Planner) only(lot int, values []int64) []int64 {
	only := pl.p.Lots[lot].Only
	if only == nil {
		return values
	}
	out := slices.Clone(values)
	for k := range out {
		if !only[pl.Demand.Rows[k].Item] {
			out[k] = 0
		}
	}
	return out
}

// tooManyWays gives the faults of items whose lengths combine in too many ways, by the
// order's indices; nil if the saw does not take the board. Such a board is priced as
// giving nothing, which would not be a valid bound here.
func tooManyWays(q *rip.Problem, err error, kept []int) fault.List {
	var l, out fault.List
	if !errors.As(err, &l) || len(q.Faults()) > 0 {
		return nil
	}
	for _, f := range l {
		var i int
		var rest string
		if n, _ := fmt.Sscanf(f.Path, "order.items[%d]%s", &i, &rest); n == 2 {
			f.Path = fmt.Sprintf("order.items[%d]%s", kept[i], rest)
		}
		out = append(out, f)
	}
	return out
}

// count adds a kind of board to the cost and yield of its lot, unless it is better set
// aside. If all is true, none is set aside. made and largest are scratch space.
func (pl *Planner) count(p *priced, kept []int, kind int, plan *rip.Plan, rate float64, all bool, made, largest []int64) {
	cost, share := float64(pl.cost[p.lot][kind])/1e6, float64(pl.p.Lots[p.lot].Kinds[kind].Count)
	lost := float64(pl.p.Lost) / Everything
	if !all && pl.p.Lost < Everything && (plan == nil || plan.Worth.Money() < rate*cost*(1-lost)) {
		p.cost += share * cost * lost
		return
	}
	p.keep[kind] = true
	p.cost += share * cost
	if plan == nil {
		return
	}
	if kind == 0 {
		p.plan, p.kept = plan, kept
	}
	clear(made)
	pl.Demand.Made(plan, kept, made)
	pl.Demand.Largest(plan, kept, largest)
	for i, m := range made {
		p.made[i] += share * pl.Demand.Rows[i].Units(m)
		if pl.Demand.Capped(i) {
			p.over[i] = max(p.over[i], m-largest[i])
		}
	}
}

// makes is what a policy makes of row k on average if this much is open, when no board
// exceeds that except by its last strip. It reports false if some board exceeds it and
// what the others make is not known.
func (pl *Planner) makes(p *policy, k int, open int64) (float64, bool) {
	if open <= 0 || p.over[k] < open || pl.beyond {
		return p.made[k], true
	}
	if p.plan == nil || len(pl.p.Lots[p.lot].Kinds) > 1 {
		return 0, false
	}
	return pl.Demand.Rows[k].Units(pl.Demand.Enough(p.plan, p.kept, k, open)), true
}
