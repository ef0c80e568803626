package wire

import (
	"slices"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// Bays are those of a line's outfeed.
type Bays struct {
	Count  int
	Change time.Duration // to change what lies in one
	Cost   unit.Worth    // of a change, in the saw's time; zero: that has no price
	Every  int           // boards, to measure what the limit costs
}

// usualMeasure is the number of boards from one measurement to the next by default.
const usualMeasure = 10

// measureWork is the most steps that a measurement may take, so that no answer waits long
// for it: most boards of invented orders took some thousands.
const measureWork = 1_000_000

// bays reads the outfeed's bays. price is that of the saw's time, as in Job.
func (r *reader) bays(m *ripwrightv1.OutfeedBays, price int64) *Bays {
	if m == nil {
		return nil
	}
	p := at(nil, "outfeed_bays")
	b := &Bays{Count: int(r.number(&p, "bays", float64(m.GetBays()), bayCount)),
		Change: time.Duration(r.whole(&p, "change_s", m.GetChangeS(), 1e9, bayChange)),
		Every:  r.count(&p, "measure_every_boards", m.MeasureEveryBoards, usualMeasure, bayMeasure)}
	terms := paced.Terms{Price: price}
	b.Cost = terms.Of(run.Cycle{Total: b.Change})
	return b
}

// stack is where an item of the order goes.
func (l *Line) stack(item int) bays.Stack {
	return bays.Of(l.OrderID, l.Items[item].ID, l.More[item].Stack)
}

// Stack is where an item of the board goes, of whichever order.
func (j *Job) Stack(item int) bays.Stack {
	order, id := j.Named(item)
	if order == "" {
		order = j.OrderID
	}
	return bays.Of(order, id, j.Items[item].Stack)
}

// Stacks are where the items of the board go.
func (j *Job) Stacks() []bays.Stack {
	all := make([]bays.Stack, len(j.Problem.Items))
	for i := range all {
		all[i] = j.Stack(i)
	}
	return all
}

// Stacks are where the items of the order go.
func (l *Line) Stacks() []bays.Stack {
	all := make([]bays.Stack, len(l.Items))
	for i := range all {
		all[i] = l.stack(i)
	}
	return all
}

// ChooseBays chooses the bays for a board from those before, and has the board planned
// with them. turn is the place of a stack in a planned sequence, as for bays.Want. The
// error is a fault.List: the operator forces items of more stacks than there are bays.
func (l *Line) ChooseBays(before *bays.Bays, j *Job, turn func(bays.Stack) int) (next *bays.Bays, changes []bays.Change, err error) {
	stacks := j.Stacks()
	wants := bays.Wants(j.Problem.Items, stacks, j.Own(), j.forced(), j.Problem.Board.Length)
	for i := range wants {
		wants[i].Turn = turn(wants[i].Stack)
	}
	next, changes, short := before.Choose(wants, l.Bays.Cost)
	if len(short) > 0 {
		var r reader
		for k, f := range j.by.By.Forced {
			s := stacks[f.Item]
			if slices.ContainsFunc(short, func(i int) bool { return wants[i].Stack == s }) {
				r.faults.Add(j.by.paths[k], "is %s, for which no bay is left; the outfeed has %d, and items of as many stacks are forced before it",
					quote(j.Problem.Items[f.Item].ID), l.Bays.Count)
			}
		}
		return nil, nil, r.faults
	}
	j.Idle = nil
	for i := range j.Problem.Items {
		if !j.Problem.Items[i].Full() && next.Find(stacks[i]) < 0 {
			j.Idle = append(j.Idle, i)
		}
	}
	return next, changes, nil
}

// forced are the items that the operator forces.
func (j *Job) forced() (items []int) {
	if j.Instructed() != nil {
		for _, f := range j.by.By.Forced {
			items = append(items, f.Item)
		}
	}
	return items
}

// solveByBays searches the plan for the items that have a bay and then, if asked for, the
// best plan of all and the best by the books without the limit, within what is left of
// the limits.
func (j *Job) solveByBays() (*rip.Result, error) {
	by := *j
	by.Problem = *instructed.Narrowed(&j.Problem, &instructed.Instructions{Forbidden: j.Idle})
	r, err := by.solve()
	if err != nil {
		return nil, err
	}
	used, whole := r.Work, r // the best plan for all items, if known
	if len(j.Idle) > 0 {
		whole = nil
	}
	if j.Measure {
		if j.Free = whole; whole == nil {
			if j.Free, err = j.without(&used); err != nil {
				return nil, err
			}
		}
		whole = j.Free
	}
	if j.FreeItems == nil || j.Instructed() != nil || order.Full(j.FreeItems) {
		return r, nil
	}
	if whole != nil && slices.EqualFunc(j.FreeItems, j.Problem.Items, sameItem) {
		j.FreeBooks = whole
		return r, nil
	}
	alone := *j
	alone.also, alone.by, alone.Problem.Items = nil, nil, j.FreeItems
	j.FreeBooks, err = alone.without(&used)
	return r, err
}

// without searches the best plan whatever has a bay, within what is left of the limits
// after the work in used, to which it adds its own; nil: nothing is left.
func (j *Job) without(used *int64) (*rip.Result, error) {
	free := *j
	o := &free.Options
	left := int64(measureWork)
	if o.Work > 0 {
		left = min(left, o.Work-*used)
	}
	if left <= 0 || o.Stop != nil && o.Stop() {
		return nil, nil
	}
	o.RunnersUp, o.Work = 0, left
	r, err := free.solve()
	if err == nil {
		*used += r.Work
	}
	return r, err
}

// sameItem reports whether two states of an item are the same.
func sameItem(a, b order.Item) bool {
	return a.Made == b.Made && a.Value == b.Value && a.Basis == b.Basis && slices.Equal(a.Cuts, b.Cuts)
}

// FreePlan is what the board would have made by the books without the limit; nil: not
// asked for.
func (j *Job) FreePlan(r *rip.Result) *run.FreePlan {
	switch {
	case j.FreeItems == nil:
		return nil
	case order.Full(j.FreeItems):
		return &run.FreePlan{Filled: true}
	}
	out, from := &run.FreePlan{Search: run.FreeAsBays}, r.Best
	if j.FreeBooks != nil {
		out.Search, from = run.FreeStopped, j.FreeBooks.Best
		if j.FreeBooks.Proven {
			out.Search = run.FreeProven
		}
	}
	for i := range from.Pockets {
		if k := from.Pockets[i].Item; k != rip.None && k < j.Own() {
			s := j.strip(&from.Pockets[i])
			out.Strips = append(out.Strips, run.Strip{Item: s.Item, Amount: s.Amount, Cuts: s.Cuts})
		}
	}
	return out
}

// BaysCost gives the worth of a plan with bays, and lower and upper bounds on that of the
// best one without the limit. It is false if that was not measured.
func (j *Job) BaysCost(r *rip.Result) (worth, free, bound unit.Worth, measured bool) {
	if j.Free == nil {
		return worth, free, bound, false
	}
	worth, free, bound = j.net(r.Best), j.net(j.Free.Best), j.Free.Bound
	if free.Cmp(worth) < 0 { // a stopped search may find less than one with fewer items
		free = worth
	}
	if bound.Cmp(free) < 0 {
		bound = free
	}
	return worth, free, bound, true
}

// Wanting is the stack without a bay of which the best plan without the limit makes most,
// by worth. It is false if there is none.
func (j *Job) Wanting() (most bays.Stack, ok bool) {
	var best unit.Worth
	sums := map[bays.Stack]unit.Worth{}
	for k := range j.Free.Best.Pockets {
		pk := &j.Free.Best.Pockets[k]
		if pk.Item == rip.None || !slices.Contains(j.Idle, pk.Item) {
			continue
		}
		s := j.Stack(pk.Item)
		sums[s] = sums[s].Add(pk.Worth)
		if !ok || sums[s].Cmp(best) > 0 {
			most, best, ok = s, sums[s], true
		}
	}
	return most, ok
}

// BaysOf describes the bays for which told is true. next is the order that boards may
// serve too, or nil.
func (l *Line) BaysOf(b *bays.Bays, next *Line, told func(bay int) bool) (all []*ripwrightv1.OutfeedBay) {
	for i := range b.In {
		s := b.In[i].Stack
		if s == (bays.Stack{}) || !told(i) {
			continue
		}
		m := &ripwrightv1.OutfeedBay{Bay: int32(i), Stack: s.Name}
		m.ItemIds = l.in(s)
		if next != nil {
			m.NextItemIds = next.in(s)
		}
		all = append(all, m)
	}
	return all
}

// in are the items of the order that go to a stack.
func (l *Line) in(s bays.Stack) (ids []string) {
	for k := range l.Items {
		if l.stack(k) == s {
			ids = append(ids, l.Items[k].ID)
		}
	}
	return ids
}

// Changed adds to a plan which bays change before its board. next is as in BaysOf.
func (l *Line) Changed(m *ripwrightv1.LinePlan, b *bays.Bays, changes []bays.Change, next *Line) {
	if b == nil {
		return
	}
	m.BayChanges = l.BaysOf(b, next, func(bay int) bool {
		return slices.ContainsFunc(changes, func(c bays.Change) bool { return c.Bay == bay })
	})
	if n := Moved(changes); n > 0 {
		m.BaysChangingS = proto.Float64(float64(n) * l.Bays.Change.Seconds())
	}
}

// Moved counts the changes of bays that had a stack before.
func Moved(changes []bays.Change) (n int) {
	for _, c := range changes {
		if c.From != (bays.Stack{}) {
			n++
		}
	}
	return n
}

// totals gives the totals of the bays.
func (b *Bays) totals(t *run.BayTotals) *ripwrightv1.BayTotals {
	if b == nil {
		return nil
	}
	if t == nil {
		t = &run.BayTotals{}
	}
	m := &ripwrightv1.BayTotals{Changes: t.Changes, ChangingS: float64(t.Changes) * b.Change.Seconds(), BoardsMeasured: t.Measured,
		FaceM2: t.Face.SquareMetres(), Worth: t.Worth.Money(), FreeWorth: t.Free.Money(), FreeWorthBound: t.Bound.Money()}
	if m.Worth > 0 && m.FreeWorth > 0 {
		m.WorthRatio, m.WorthRatioBound = proto.Float64(1-m.Worth/m.FreeWorth), proto.Float64(1-m.Worth/m.FreeWorthBound)
	}
	for i := range t.Lumber {
		f := &t.Lumber[i]
		m.Lumber = append(m.Lumber, &ripwrightv1.BayLumber{OrderId: f.Order, Boards: f.Boards, FaceM2: f.Face.SquareMetres(), FreeBoards: f.FreeBoards,
			FreeFaceM2: f.FreeFace.SquareMetres(), BoardsUnproven: f.Stopped, BoardsUnsearched: f.AsBays})
	}
	return m
}

// Lumber reports whether the order is full by its books and by those without the limit,
// and what the bays then cost in lumber.
func (l *Line) Lumber(r *run.Run, m *ripwrightv1.BayLumber) {
	items := order.CloneItems(l.Items)
	r.StandConfirmedOf(l.OrderID, items)
	m.Full = order.Full(items)
	if !r.StandConfirmedFree(l.OrderID, items) || !order.Full(items) {
		return
	}
	m.FreeFull, m.ExtraFaceM2 = true, proto.Float64(m.GetFaceM2()-m.GetFreeFaceM2())
	if m.GetFreeFaceM2() > 0 {
		m.ExtraRatio = proto.Float64(m.GetExtraFaceM2() / m.GetFreeFaceM2())
	}
}

// asInstructed gives the instructions under which the plan is the one with bays: items
// without a bay are forbidden.
func (j *Job) asInstructed(m *ripwrightv1.Instructions) *ripwrightv1.Instructions {
	if len(j.Idle) == 0 {
		return m
	}
	out := &ripwrightv1.Instructions{}
	if m != nil {
		out = proto.CloneOf(m)
	}
	for _, i := range j.Idle {
		if id := j.Problem.Items[i].ID; !slices.Contains(out.Forbidden, id) {
			out.Forbidden = append(out.Forbidden, id)
		}
	}
	return out
}
