package replan

import (
	"cmp"
	"math"
	"slices"

	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/phases"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// An order cut through bays is cut in phases, in each of which as many stacks have a bay
// as there are bays. Package phases finds a sequence of stacks; then values are planned
// again with each phase as a separate lot, whose boards give only what has a bay in it.
// What combines badly is then worth more while there are others to combine it with.

// Limits of a planning through bays.
const (
	phaseBoards = 20  // of the sample
	phaseSets   = 400 // of items, for which boards are searched
	phaseLots   = 16  // phases planned separately; later ones are planned as if there were enough bays
	keptPhases  = 2   // phases whose mix a set keeps: the next planning comes before the third
	keptTurns   = 64  // stacks whose sequence it keeps
	phaseWork   = 20_000
)

// through is an outfeed as a planning sees it.
type through struct {
	count     int
	stacks    []bays.Stack // all stacks, by number
	of        []int        // number of each item's stack
	in, waits []int
}

// Phase is a set of stacks that have the bays together.
type Phase struct {
	Stacks []bays.Stack
	Mix    []Mix
}

// Mix is what a phase is planned to make of an item, and what is open of it when the
// phase begins, both in the item's unit.
type Mix struct {
	Item        string
	Begin, Make int64
}

// Through makes the task plan for an outfeed with the bays as they are, and for a
// sequence of stacks. stacks are those of the items of the task. Nothing changes if there
// are enough bays, if an item is unlimited, or if anything has a due.
func (t *Task) Through(b *bays.Bays, stacks []bays.Stack) {
	items := t.problem.Items
	if t.due() || !bays.Ends(items) {
		return
	}
	length := unit.Length(0)
	for _, k := range t.problem.Lots[0].Kinds {
		length = max(length, k.Board.Length)
	}
	wants := bays.Wants(items, stacks, len(items), nil, length)
	x := &through{count: len(b.In), of: make([]int, len(items))}
	number := map[bays.Stack]int{}
	for k := range wants {
		s := wants[k].Stack
		number[s], x.stacks = k, append(x.stacks, s)
		switch {
		case wants[k].Full:
		case b.Find(s) >= 0:
			x.in = append(x.in, k)
		default:
			x.waits = append(x.waits, k)
		}
	}
	for i := range items {
		x.of[i] = number[stacks[i]]
	}
	slices.SortStableFunc(x.waits, func(i, j int) int { return wants[j].Open.Cmp(wants[i].Open) })
	if len(x.in)+len(x.waits) > x.count {
		t.through = x
	}
}

// phased replans through bays. It reports false if a limit or an error prevented that: the
// plan for enough bays, which is known, then stands. Without the caps of that plan, lengths
// can combine in too many ways where they did not in it.
func (t *Task) phased(d *demand.Order, free *values.Plan, o values.Options, out *Set) (*values.Planner, *values.Plan, bool) {
	x, few := t.through, []lumber.Kind(nil)
	kinds := t.problem.Lots[0].Kinds
	for i := range min(phaseBoards, len(kinds)) {
		few = append(few, kinds[i*len(kinds)/min(phaseBoards, len(kinds))])
	}
	p := &phases.Problem{Saw: t.problem.Saw, Demand: d, Boards: few, Stacks: x.of, Bays: x.count, In: x.in, Waits: x.waits,
		Work: phaseWork, Memory: o.Memory, Sets: phaseSets, Stop: o.Stop}
	p.Saw.Rerip.Width = 0 // irrelevant here
	top := slices.Max(free.ToCut)
	for _, v := range free.ToCut {
		p.Values = append(p.Values, int64(math.Round(v/top*mostAsked)))
	}
	found, err := phases.Find(p)
	if err != nil || found == nil {
		return nil, nil, false
	}
	q := t.problem
	q.Lots = nil
	for g, set := range found.Sets[:min(len(found.Sets), phaseLots)] {
		lot := values.Lot{ID: "phase", Kinds: few, Only: make([]bool, len(q.Items))}
		for i := range q.Items {
			later := g == phaseLots-1 && slices.ContainsFunc(found.Sets[g:], func(s []int) bool { return slices.Contains(s, x.of[i]) })
			lot.Only[i] = later || slices.Contains(set, x.of[i])
		}
		q.Lots = append(q.Lots, lot)
	}
	pl, err := values.New(&q)
	if err != nil {
		return nil, nil, false
	}
	plan, err := pl.Plan(t.strips(pl.Demand), o)
	if err != nil || plan.Bound == 0 || plan.Stopped && o.Stop != nil && o.Stop() {
		return nil, nil, false
	}
	for _, s := range found.Waits[:min(len(found.Waits), keptTurns)] {
		out.Turn = append(out.Turn, x.stacks[s])
	}
	out.Phases = x.mixes(pl, plan, found)
	return pl, plan, true
}

// mostAsked is the price of the dearest row, as fine as values go.
const mostAsked = 900_000_000_000

// mixes gives what the first phases are planned to make.
func (x *through) mixes(pl *values.Planner, plan *values.Plan, found *phases.Plan) (all []Phase) {
	makes, rows := pl.Makes(plan), pl.Demand.Rows
	left := make([]float64, len(rows))
	for k := range rows {
		left[k] = float64(rows[k].Open)
	}
	for g, set := range found.Sets[:min(len(found.Sets), keptPhases, phaseLots-1)] {
		var ph Phase
		for _, s := range set {
			ph.Stacks = append(ph.Stacks, x.stacks[s])
		}
		for k := range rows {
			it := &pl.Demand.Items[rows[k].Item]
			if rows[k].Cut != demand.Whole || !slices.Contains(set, x.of[rows[k].Item]) {
				continue
			}
			begin := max(left[k], 0)
			left[k] -= makes[g][k] / rows[k].Units(1)
			if begin >= 1 {
				ph.Mix = append(ph.Mix, Mix{Item: it.ID, Begin: int64(begin), Make: int64(min(begin-max(left[k], 0), begin))})
			}
		}
		all = append(all, ph)
	}
	return all
}

// How values are held to the mix of a phase. A phase is short and its amounts are small,
// so values move less than in mix, and by an item's deviation relative to what is open of
// it, not to what is left of the phase: there one strip more or less would change them
// too much.
const (
	phasePower = 0.15
	phaseMost  = 1.2
	phaseFloor = 0.1 // of what was open as the phase began
)

// PriceThrough is Price if only some stacks have bays. It reports false, and changes
// nothing, if the values in force were planned without bays.
func (c *Course) PriceThrough(items []order.Item, b *wood.Board, lies *bays.Bays, stacks []bays.Stack) bool {
	if c.Force == nil || len(c.Force.Turn) == 0 {
		return false
	}
	planned := byItem(c.Force.Items)
	apply(planned, items)
	if ph := c.Force.phase(items, lies, stacks); ph != nil {
		ph.hold(items, planned)
	}
	fit(planned, items, b)
	return true
}

// phase is the one being cut: its stacks are those with bays of which anything is open.
// Nil: the line has departed from the sequence.
func (s *Set) phase(items []order.Item, lies *bays.Bays, stacks []bays.Stack) *Phase {
	var in []bays.Stack
	for i := range items {
		if !items[i].Full() && lies.Find(stacks[i]) >= 0 && !slices.Contains(in, stacks[i]) {
			in = append(in, stacks[i])
		}
	}
	for p := range s.Phases {
		if ph := &s.Phases[p]; len(ph.Stacks) == len(in) && !slices.ContainsFunc(in, func(s bays.Stack) bool { return !slices.Contains(ph.Stacks, s) }) {
			return ph
		}
	}
	return nil
}

// hold holds values to the mix: an item of which more is open than planned by now is
// worth a little more, one of which less is open a little less. The progress of the phase
// is measured by the worth that it has made.
func (ph *Phase) hold(items []order.Item, planned map[string]*Value) {
	type held struct {
		it   *order.Item
		open float64
		mix  *Mix
	}
	var all []held
	made, makes := 0.0, 0.0
	for i := range items {
		it := &items[i]
		at := slices.IndexFunc(ph.Mix, func(m Mix) bool { return m.Item == it.ID })
		open, limited := it.Open()
		if v := planned[it.ID]; at < 0 || !limited || v == nil || v.Basis != it.Basis {
			continue
		}
		m, worth := &ph.Mix[at], float64(it.Value)*perUnit(it)
		all = append(all, held{it, float64(open), m})
		made += worth * float64(m.Begin-open)
		makes += worth * float64(m.Make)
	}
	if !(makes > 0) {
		return
	}
	come := min(max(made/makes, 0), 1)
	for _, h := range all {
		begin := float64(h.mix.Begin)
		off := h.open / max(begin-float64(come*float64(h.mix.Make)), phaseFloor*begin)
		times := math.Exp(math.Round(math.Log(off)*phasePower*mixSteps) / mixSteps)
		times = min(max(times, 1/phaseMost), phaseMost)
		h.it.Value = min(int64(math.Round(float64(h.it.Value)*times)), saw.MaxValue)
	}
}

// TurnOf is the place of a stack in the sequence in which stacks are planned to get bays,
// from 1; those without a place come last.
func (c *Course) TurnOf(s bays.Stack) int {
	if c.Force == nil {
		return 0
	}
	return cmp.Or(slices.Index(c.Force.Turn, s)+1, len(c.Force.Turn)+1)
}
