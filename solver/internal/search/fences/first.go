package fences

import (
	"math"

	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// first gives the first plan of the best score: by branch and bound over intervals of the
// fences that have it, with the least travel of labels over an interval as the bound.
func (x *exact) first(p *piece) (*model.Plan, Reason) {
	p.bound = x.top.Worth
	if x.incumbent != nil {
		bare := x.incumbent.Score
		bare.Travel = 0
		if x.top.Cmp(&bare) < 0 {
			return nil, Closed
		}
	}
	x.room = mostLabels
	w := nearest{exact: x}
	w.visit(x.fences, 0)
	switch {
	case x.stopped():
		return nil, Unserved
	case x.room < 0:
		return nil, Caps
	case w.best == nil:
		return nil, Travels
	}
	sc, valid := x.m.Rate(w.best)
	switch over := x.m.Overrun(w.best); {
	case sc != w.best.Score || !valid && len(over) == 0:
		return nil, Unmet
	case !valid:
		return w.best, Caps
	}
	return w.best, Closed
}

// nearest looks for the plan of the best score that comes first.
type nearest struct {
	*exact
	best *model.Plan
}

// farthest is how far a plan may travel to come before the best one.
func (w *nearest) farthest() int64 {
	if w.best == nil {
		return math.MaxInt64 / 16
	}
	return w.best.Score.Travel
}

// ended reports whether to stop.
func (w *nearest) ended() bool { return w.stopped() || w.room < 0 }

// away is how far the fence travels to a stop.
func (w *nearest) away(t int) int64 {
	f := w.m.Fence(t)
	return max(f-w.m.Fence0, w.m.Fence0-f)
}

// least is a lower bound on the travel of any plan of the best score at some fences.
func (w *nearest) least(fences []int) int64 {
	if len(fences) == 1 { // settling it takes no more
		return w.away(fences[0])
	}
	first, last := fences[0], fences[len(fences)-1]
	near := min(w.away(first), w.away(last))
	if f := w.m.Fence0; w.m.Fence(first) < f && f < w.m.Fence(last) {
		near = 0
	}
	least := int64(math.MaxInt64)
	w.over(first, last, layered.Bounded, near, func(l, r *layered.Labels) {
		for _, t := range fences {
			away := w.away(t)
			if w.between.last < 0 { // all fences are alike
				away = near
			}
			w.pairs(t, l, r, func(sc model.Score, _ *use, _, _ *layered.Label) {
				if w.tops(sc) {
					least = min(least, away+sc.Travel)
				}
			})
			if w.between.last < 0 || w.ended() {
				break
			}
		}
	})
	return least
}

// over calls f with labels over an interval of fences, to which the fence itself travels
// at least a distance.
func (w *nearest) over(first, last int, travels layered.Travels, away int64, f func(l, r *layered.Labels)) {
	w.gl.Within(w.m.Fence(first), w.m.Fence(last))
	w.gr.Within(w.m.Fence(first), w.m.Fence(last))
	l, r := w.labels(travels)
	if w.best != nil {
		l.Farthest = w.farthest() - away
		r.Farthest = l.Farthest
	}
	f(l, r)
	w.release()
}

// tops reports whether a score is the best, ignoring travel.
func (w *nearest) tops(sc model.Score) bool {
	sc.Travel = 0
	return sc == w.top
}

// visit searches fences at which plans travel at least a distance.
func (w *nearest) visit(fences []int, least int64) {
	if least > w.farthest() || w.ended() {
		return
	}
	if w.best != nil && least == w.farthest() && w.m.Fence(fences[0]) > w.best.Fence {
		return // what travels equally far comes later
	}
	n := len(fences)
	if n == 1 {
		w.place(fences[0])
		return
	}
	a, b := fences[:n/2], fences[n/2:]
	la, lb := w.least(a), w.least(b)
	if lb < la {
		a, la, b, lb = b, lb, a, la
	}
	w.visit(a, la)
	w.visit(b, lb)
}

// place finds the first plan at a fence.
func (w *nearest) place(t int) {
	m, fence, away := w.m, w.m.Fence(t), w.away(t)
	w.over(t, t, layered.Placed, away, func(l, r *layered.Labels) {
		w.pairs(t, l, r, func(sc model.Score, u *use, a, b *layered.Label) {
			if !w.tops(sc) {
				return
			}
			q := &model.Plan{Fence: fence, Score: sc}
			q.Score.Travel += away
			if w.best != nil && q.Score.Cmp(&w.best.Score) < 0 {
				return
			}
			at, wants := l.Plan(a)
			q.Blades, q.Wants = append(q.Blades, at...), append(q.Wants, wants...)
			for j := w.between.first; j <= w.between.last; j++ {
				q.Blades = append(q.Blades, m.Blades[j].Lo)
			}
			q.Wants = append(q.Wants, u.wants...)
			at, wants = r.Plan(b)
			if w.between.last < 0 { // nothing lies before the first blade
				wants = wants[1:]
			}
			q.Blades, q.Wants = append(q.Blades, at...), append(q.Wants, wants...)
			if w.room >= 0 && (w.best == nil || q.Before(w.best)) {
				w.best = q
			}
		})
	})
}
