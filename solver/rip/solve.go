package rip

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Solve gives the best valid plan for a problem and the proof, or the faults of
// the problem as a fault.List.
func Solve(p *Problem, o Options) (*Result, error) {
	if l := p.Faults(); len(l) > 0 {
		return nil, l
	}
	best := pool{size: o.RunnersUp + 1}
	if o.Floor.Cmp(worth{}) > 0 {
		best.raise(o.Floor)
	}
	b := o.Budget()
	w := o.watcher(b)
	ready, faults := prepare(p, b, best.nothing(), nil)
	if len(faults) > 0 {
		return nil, faults
	}
	ready.tests = o.tests
	w.part(Preparation, worth{}, worth{}, false)
	r, early := byTables(p, o, b, ready, &w)
	if r != nil {
		return r, nil
	}
	known := worth{}
	if early != nil {
		known = early.bound
	}
	r = &Result{Proven: true}
	var idle *found // every blade as close to the datum as possible, without strips
	angles := p.skews()
	for i, skew := range angles {
		if i > 0 && (!b.Look() || !b.Hold(ready.bytes())) {
			r.Proven, r.Bound = false, maxWorth(r.Bound, ready.crude(angles[i:]))
			break
		}
		in := ready.at(skew)
		s := newSearch(in, o.RunnersUp, b)
		s.pool = best
		s.pool.skew, s.pool.in = int64(skew), in
		s.starters, early = early, nil
		bound := s.run()
		w.part(Intervals, s.bestWorth(), bound, true)
		r.Bound = maxWorth(r.Bound, bound)
		if i == 0 {
			idle = in.idle(int64(skew))
		}
		best = s.pool
		r.Proven = !s.over()
		s.release()
		if i > 0 && !slices.ContainsFunc(best.plans, func(f *found) bool { return f.in == in }) {
			b.Free(ready.bytes())
		}
	}
	if !r.Proven && best.nothing() && len(angles) > 1 {
		best.askew(ready, angles, b)
	}
	r.EndedBy, r.Work = b.Ended(), b.Work()
	_, r.Memory = b.Held()
	plans := best.real()
	if len(plans) == 0 { // stopped before a plan was complete, or none is worth the floor
		plans, r.Proven = []*found{idle}, false
	}
	for i, f := range plans {
		plan := f.in.build(f)
		if i == 0 {
			r.Best = plan
			continue
		}
		r.RunnersUp = append(r.RunnersUp, plan)
	}
	if !known.IsZero() && known.Cmp(r.Bound) < 0 { // tables serve no saw that can set boards at an angle
		r.Bound = known
	}
	r.Bound = maxWorth(r.Bound, r.Best.Worth)
	return r, nil
}

// skews lists the angles at which the infeed can set the board, the least first, so that
// the search has a good plan before it tries the rest.
func (p *Problem) skews() []unit.Length {
	all := []unit.Length{0}
	if p.Board.StraightNear {
		return all
	}
	near, _, _, far := p.Board.Span()
	for v := p.Saw.Step; v <= p.Saw.Skew; v += p.Saw.Step {
		if far-near+p.Board.Length/1000*(v/unit.Micrometre)/1000+unit.Millimetre > wood.MaxSpan {
			break // no saw takes that in any case
		}
		all = append(all, v, -v)
	}
	return all
}

// at gives the problem with the board set at a skew.
func (p *Problem) at(skew unit.Length) *Problem {
	if skew == 0 {
		return p
	}
	q := *p
	q.Board = p.Board.Skewed(skew)
	return &q
}

// idle is the plan without strips, its blades as close to the datum as possible.
func (in *instance) idle(skew int64) *found {
	f := &found{skew: skew, in: in, fence: min(max(in.stopDown(in.fence0), in.fenceLo), in.fenceHi)}
	f.path = path{make([]int64, len(in.blades)), make([]int16, in.pockets())}
	for j := range in.blades {
		f.path.blades[j] = in.blades[j].lo
	}
	for i := range f.path.wants {
		f.path.wants[i] = noWant
	}
	return f
}

// build writes out a found plan, with runs and account.
func (in *instance) build(f *found) *Plan {
	p := &Plan{Skew: unit.Length(f.skew), Fence: unit.Length(f.fence)}
	p.Travel = apart(p.Fence, in.p.Saw.Fence.Current)
	for j, a := range f.path.blades {
		p.Blades = append(p.Blades, unit.Length(a))
		if b := &in.p.Saw.Blades[j]; b.Moving {
			p.Travel += apart(unit.Length(a), b.Travel.Current)
		}
		if in.meets(unit.Length(a - f.fence)) {
			p.BladesInWood++
		}
	}
	first := 0
	if in.straight {
		first = -1
	}
	for k, w := range f.path.wants {
		left := first + k
		pk := Pocket{LeftBlade: left, RightBlade: left + 1, Item: None, Right: p.Blades[left+1] - p.Fence}
		if left >= 0 {
			pk.Left = p.Blades[left] + unit.Length(in.kerf) - p.Fence
		}
		if in.straight {
			pk.Left = max(pk.Left, 0)
		}
		if w != noWant {
			in.fill(&pk, &in.wants[w])
			p.Worth = p.Worth.Add(pk.Worth)
			p.StripArea += unit.Area(int64(pk.Width()) * int64(pk.Counted))
			if it := &in.p.Items[pk.Item]; !it.Random {
				p.Deviation += apart(pk.Width(), it.Min)
			}
		}
		p.Pockets = append(p.Pockets, pk)
	}
	in.account(p)
	p.Worth = p.Worth.Add(p.Account.ReripWorth)
	return p
}

// fill puts a want into a pocket.
func (in *instance) fill(pk *Pocket, w *want) {
	pk.Item = w.item
	for _, r := range in.runs(nil, w, int64(pk.Left), int64(pk.Right)) {
		if w.counts(r) {
			pk.Runs = append(pk.Runs, r)
		}
	}
	c := w.count(pk.Runs, true)
	pk.Counted = unit.Run(c.n)
	pk.Worth = w.worth(int64(pk.Width()), c)
	pk.Amount = w.amount(int64(pk.Width()), c)
	if w.crosscut != nil {
		for _, r := range pk.Runs {
			x := unit.Length(r.From) * unit.Micrometre
			w.crosscut.Lay(int64(r.Length()), func(cut int, from, to int64) {
				pk.Pieces = append(pk.Pieces, Piece{Cut: cut, From: x + unit.Length(from), To: x + unit.Length(to)})
			})
		}
	}
}

func apart(a, b unit.Length) unit.Length { return max(a-b, b-a) }
