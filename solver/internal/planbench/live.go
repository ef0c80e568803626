package main

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/wood"
)

// late is after how many more boards new values come into force: a line does not
// wait for them.
const late = 2

// orderRun is an order cut board by board.
type orderRun struct {
	p     *quote.Problem
	q     rip.Problem
	own   []order.Item
	every int // boards from planning to planning; 0: values stay
	c     replan.Course
}

func newRun(p *quote.Problem, every int) *orderRun {
	items := p.Values.Items
	return &orderRun{p: p, q: rip.Problem{Saw: p.Values.Saw, Items: slices.Clone(items)}, own: items, every: every}
}

// expect tells the run beforehand what lumber comes.
func (r *orderRun) expect(seed uint64) error {
	var boards []wood.Board
	for _, k := range r.p.Lots[0].Sample(replan.MaxBoards, seed) {
		boards = append(boards, k.Board)
	}
	r.c.Sample.Expect(boards)
	t, s, err := r.plan()
	if err == nil {
		r.take(t, s)
	}
	return err
}

// plan plans values from what is open now.
func (r *orderRun) plan() (*replan.Task, *replan.Set, error) {
	items := slices.Clone(r.own)
	for i := range items {
		items[i].Made = r.q.Items[i].Made
	}
	t := r.c.Task(r.q.Saw, items, nil, values.Everything)
	s, err := t.Plan(nil, each)
	return t, s, err
}

func (r *orderRun) take(t *replan.Task, s *replan.Set) {
	r.c.Take(t, s, "")
	r.c.Apply(r.q.Items)
}

// to runs the order to its end and gives how many boards it took. Values are
// planned as a live line does by itself: from the boards that it has seen, every
// so many of them.
func (r *orderRun) to(seed uint64, most int) (int, error) {
	var task *replan.Task
	var set *replan.Set
	ready := 0
	for n, b := range quote.Boards(r.p, seed, 0, most) {
		if task != nil && n >= ready {
			r.take(task, set)
			task = nil
		}
		r.q.Board = b.Board
		s, err := rip.Solve(&r.q, rip.Options{})
		if err != nil {
			return 0, err
		}
		r.c.Sample.Add(&b.Board)
		r.stand(s.Best)
		if !slices.ContainsFunc(r.q.Items, func(it order.Item) bool { open, _ := it.Open(); return open > 0 }) {
			return n + 1, nil
		}
		if r.every > 0 && task == nil && r.c.Due(int64(r.every)) {
			if task, set, err = r.plan(); err != nil {
				return 0, err
			}
			ready = n + 1 + late
		}
	}
	return most, nil
}

// stand leaves the saw and the items as a plan makes them.
func (r *orderRun) stand(p *rip.Plan) {
	r.q.Saw.Fence.Current = p.Fence
	r.q.Saw.Blades = slices.Clone(r.q.Saw.Blades)
	for j := range r.q.Saw.Blades {
		if r.q.Saw.Blades[j].Moving {
			r.q.Saw.Blades[j].Travel.Current = p.Blades[j]
		}
	}
	for i := range p.Pockets {
		if pk := &p.Pockets[i]; pk.Item != rip.None {
			r.q.Items[pk.Item].Made += int64(pk.Counted)
		}
	}
}

// byYield values all strips by their area alone.
func (r *orderRun) byYield() {
	for i := range r.q.Items {
		r.q.Items[i].Value, r.q.Items[i].Basis = 10_000_000, order.PerArea
	}
}
