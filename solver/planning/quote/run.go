package quote

import (
	"math/rand/v2"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/wood"
)

// course is one run of an order to its end.
type course struct {
	p      *Problem
	o      *Options
	policy Policy
	pl     *values.Planner
	plan   *values.Plan
	shares []float64 // of the lots, cumulative

	open  []int64 // of all rows, still wanted
	made  []int64 // of all rows, by the current board
	items []order.Item
	line  replan.Course // planned values, as on a line
	saw   rip.Problem
	tally tally
	ticks ticks
	// progress is the last board, set aside or not, that made something open.
	progress int
}

// tally is the result of a run.
type tally struct {
	boards, aside, turned   int
	turning                 float64 // money
	feet, face, strip, cost float64
	drawn                   float64       // m2, of boards ripped or set aside
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

// taken is what a run used of a lot.
type taken struct {
	boards     int
	feet, cost float64
}

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

// to runs the order to its end. It reports false if it was stopped. Boards are drawn from
// random, those announced to a line beforehand from told.
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
	r.tally.curve = r.ticks.curve(r.tally.boards, r.tally.made, target)
	return true
}

// replan replans values if it is due, as a line does. It reports false if it was stopped.
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

// patience is the number of boards without progress, beyond twice those that it took to
// get here, after which a run ends: these values will not fill the order.
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
