package fences

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// mostLabels limits the labels of one threshold: some tenths of a second.
const mostLabels = 1 << 17

// exactly finds the best plan of a piece if states do not keep the caps that a plan
// breaks: with exact amounts of those, and of more caps as plans break them. It gives
// Caps if there are too many caps or labels, the near edge is straight, or blades move
// between fixed ones.
func (s *solver) exactly(p *piece, plan *model.Plan) (*model.Plan, Reason) {
	var caps []int
	if s.m.Board.StraightNear || len(s.between.spans) > 0 { // labels know no face strips and no spans
		return nil, Caps
	}
	for open := Caps; open == Caps; {
		over := s.m.Overrun(plan)
		if caps = append(caps, over...); len(caps) > layered.MostCaps {
			return nil, Caps
		}
		if plan, open = s.keeping(p, caps); open != Caps || plan == nil {
			return plan, open
		}
	}
	return nil, Caps
}

// keeping finds the best plan of a piece that keeps some caps, with the tables of the
// last round as bounds: among plans worth at least a threshold, which is lowered until
// there is one or none can be left. With Caps it gives a plan that breaks others, or none
// if there are too many labels.
func (s *solver) keeping(p *piece, caps []int) (*model.Plan, Reason) {
	met := int64(math.MinInt64)
	for t := s.from; t <= s.to; t++ {
		met = max(met, s.bounds[t])
	}
	floor := int64(0)
	if s.incumbent != nil {
		floor = s.profile.Up(s.incumbent.Score.Worth)
	}
	if !s.hold(2 * 8 * (s.to - s.from + 1)) {
		return nil, Unserved
	}
	for gap := met / 512; ; gap *= 4 {
		x := &exact{solver: s, caps: caps, least: max(met-gap-s.profile.Slack, floor), room: mostLabels}
		floored := x.least == floor
		x.survey()
		x.release()
		switch {
		case s.stopped():
			return nil, Unserved
		case x.room < 0:
			return nil, Caps
		case len(x.fences) > 0:
			return x.first(p)
		case floored:
			return nil, Closed
		}
		p.bound = s.profile.Worth(x.least)
	}
}

// exact is the search for plans of one threshold.
type exact struct {
	*solver
	caps   []int
	least  int64 // worth, coarse
	top    model.Score
	fences []int // of the plans with that score, without travel
	room   int   // for labels
	clear  []way // if all pockets between fixed blades are clear
	l, r   *layered.Labels
}

// labels gives labels of both sides, release gives back what they hold.
func (x *exact) labels(travels layered.Travels) (l, r *layered.Labels) {
	x.l, x.r = x.gl.NewLabels(x.caps, travels, &x.room), x.gr.NewLabels(x.caps, travels, &x.room)
	return x.l, x.r
}

func (x *exact) release() {
	for _, l := range []*layered.Labels{x.l, x.r} {
		if l != nil {
			l.Release()
		}
	}
	x.l, x.r = nil, nil
}

// survey finds the best score of all fences, without travel.
func (x *exact) survey() {
	l, r := x.labels(layered.Ignored)
	for t := x.from; t <= x.to && !x.stopped() && x.room >= 0; t++ {
		x.profile.Over(1)
		if x.bounds[t] < x.least {
			continue
		}
		x.pairs(t, l, r, func(sc model.Score, _ *use, _, _ *layered.Label) {
			c := 1
			if len(x.fences) > 0 {
				c = sc.Cmp(&x.top)
			}
			if c > 0 {
				x.top, x.fences = sc, x.fences[:0]
				x.least = max(x.least, x.profile.Up(sc.Worth))
			}
			if c >= 0 && (len(x.fences) == 0 || x.fences[len(x.fences)-1] != t) {
				x.fences = append(x.fences, t)
			}
		})
		if x.between.last < 0 { // all fences are alike
			for t++; t <= x.to && len(x.fences) > 0; t++ {
				x.fences = append(x.fences, t)
			}
		}
	}
}

// pairs calls f for the ways to use both sides and the pockets between at a fence that
// keep the caps and may be worth the threshold.
func (x *exact) pairs(t int, l, r *layered.Labels, f func(sc model.Score, u *use, a, b *layered.Label)) {
	fence := x.m.Fence(t)
	el, er := x.entries(t)
	standing := model.Score{Blades: x.between.standing(fence)}
	held, _ := x.budget.Held()
	ways, again := x.ways(t, l)
	if now, _ := x.budget.Held(); !again {
		defer x.budget.Free(now - held)
	}
	for _, w := range ways {
		u := &w.use
		x.budget.Spend(1)
		x.split(u.state, func(sl, sr int) {
			al, ar := x.left.At(x.left.Moving, sl, el), x.right.At(x.right.Moving, sr, er)
			gap := u.up + al + ar - x.least
			if al < 0 || ar < 0 || gap < 0 {
				return
			}
			as, bs := l.From(sl, el, gap), r.From(sr, er, gap)
			x.budget.Spend(int64(len(as)) + 1)
			for i := range as {
				if x.profile.Over(16) {
					return
				}
				a := &as[i]
				one := standing.Plus(u.score).Plus(a.Score)
				used := w.amounts.Plus(&a.Amounts)
				for j := range bs {
					b := &bs[j]
					sc := one.Plus(b.Score)
					if x.profile.Up(sc.Worth) < x.least {
						break
					}
					x.profile.Over(16)
					if all := used.Plus(&b.Amounts); l.Keeps(&all) {
						f(sc, u, a, b)
					}
				}
			}
		})
	}
}
