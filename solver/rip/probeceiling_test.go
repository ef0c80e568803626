package rip

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/unit"
)

// ProbeCeiling shows the bounds of the ceiling, for a saw whose blades all move, on parts
// of plans.
type ProbeCeiling struct {
	s  *search
	c  *ceiling
	by string
}

// NewProbeCeiling gives a ceiling, with a level for each number of blades beyond or one
// for any number of them; nil if some blade is fixed or offcuts are fed again, for which
// there is none.
func NewProbeCeiling(p *Problem, o Options, skew unit.Length, exact bool) (*ProbeCeiling, error) {
	work := budget.New(budget.Limits{})
	ready, faults := prepare(p, work, true, nil)
	if len(faults) > 0 {
		return nil, faults
	}
	ready.tests = o.tests
	in := ready.at(skew)
	if in.reripWidth > 0 || slices.ContainsFunc(in.blades, func(b blade) bool { return !b.moving }) {
		return nil, nil
	}
	s := newSearch(in, 1, work)
	s.prepare()
	c := s.newCeiling()
	c.keepWorst(in)
	k, build, by := len(in.blades)-1, c.endless, "ceiling for any number of blades"
	if in.straight {
		k++
	}
	if exact {
		build, by = c.build, "ceiling for each number of blades"
	}
	if c.back > 0 {
		by += ", with tolls"
	}
	if c.states > 1 {
		by += ", by state"
	}
	if !build(s, k) {
		return nil, fmt.Errorf("stopped")
	}
	return &ProbeCeiling{s, c, by}, nil
}

// Release ends it.
func (b *ProbeCeiling) Release() { b.s.release() }

// Spans are those of nodes: from the first blade on.
func (b *ProbeCeiling) Spans() (all [][2]int) {
	for j := range b.s.in.blades {
		all = append(all, [2]int{0, j})
	}
	return all
}

// Aim does nothing: the ceiling depends on heights alone.
func (b *ProbeCeiling) Aim(_, _ int64) {}

// Instead gives none.
func (b *ProbeCeiling) Instead() []oracle.Pair { return nil }

// Bounds gives the worth of a part with the level beyond its last blade, and the
// ceiling's bound on all plans.
func (b *ProbeCeiling) Bounds(k *oracle.Part) ([]oracle.Bound, error) {
	s, c := b.s, b.c
	used, paid := make([]uses, s.in.caps), int64(0)
	for n, item := range k.Items {
		for i := range s.in.wants {
			w := &s.in.wants[i]
			if w.item != item {
				continue
			}
			paid += c.paid(w, k.Amounts[n])
			if w.cap >= 0 {
				used[w.cap] = used[w.cap].with(k.Amounts[n])
			}
		}
	}
	beyond := len(s.in.blades) - 1 - k.To
	y := k.Pos[k.To] - k.Fence
	v := c.up(worth{Hi: k.Score.Hi, Lo: k.Score.Lo}) - paid + c.back + c.over(s.in, beyond, c.state(s.in, used), y)
	all := len(s.in.blades) - 1
	if s.in.straight {
		all++
	}
	return []oracle.Bound{
		{By: b.by, Score: scoreOut(score{Worth: c.worth(v)}), OnlyWorth: true},
		{By: "top of the " + b.by, Score: scoreOut(score{Worth: c.worth(c.top(all))}), OnlyWorth: true},
	}, nil
}

// NetworkHolds grows the network of all cuttings worth as much as one of the plans, each
// the best of its items, and reports whether it holds those of them that are worth as
// much, with equal scores except for travel. It is for a saw whose blades all move and a
// board that lies as sent; otherwise, and if there are too many cuttings, it reports
// false.
func NetworkHolds(p *Problem, o Options, exact bool, best []*oracle.Plan, like int) (bool, error) {
	b, err := NewProbeCeiling(p, o, 0, exact)
	if b == nil || err != nil {
		return false, err
	}
	defer b.Release()
	s, c := b.s, b.c
	if _, orderly := s.in.orderly(); !orderly {
		return false, nil
	}
	coarse := func(k *oracle.Plan) int64 { return c.up(scoreIn(k.Score()).Worth) }
	s.f, s.w = fences{s.in.fenceLo, s.in.fenceHi}, fences{}
	need := coarse(best[like])
	t := s.network(c, s.f)
	if need == 0 || !t.grow(need) {
		return false, nil
	}
	goals := map[kind]score{}
	for _, g := range t.goals() {
		goals[g.kind] = g.score
	}
	for _, k := range best {
		if coarse(k) < need {
			continue
		}
		var of kind
		for _, item := range k.Kind() {
			of = of.with(item)
		}
		sc := scoreIn(k.Score())
		sc.Travel = 0
		if g, ok := goals[of]; !ok || g.Cmp(&sc) < 0 {
			return true, fmt.Errorf("of cuttings worth %d there is %+v (%v), worse than %v", need, g, ok, k)
		}
	}
	return true, nil
}

// SettlesWithin settles every goal of a network that holds the best plan over intervals
// of fences, and gives how many bounds on travels it compared with those of settings. The
// error is a bound above the travel of a setting in its interval, or a least travel that
// differs from the oracle's.
func SettlesWithin(p *Problem, o Options, exact bool, best, settings []*oracle.Plan, r *rand.Rand) (checked int, err error) {
	b, err := NewProbeCeiling(p, o, 0, exact)
	if b == nil || err != nil {
		return 0, err
	}
	defer b.Release()
	s, c := b.s, b.c
	rests, orderly := s.in.orderly()
	if !orderly {
		return 0, nil
	}
	s.f, s.w = fences{s.in.fenceLo, s.in.fenceHi}, fences{}
	need := c.up(scoreIn(best[0].Score()).Worth)
	t := s.network(c, s.f)
	if need == 0 || !t.grow(need) {
		return 0, nil
	}
	u := t.settling(rests)
	goals := t.goals()
	for i := range goals {
		g := &goals[i]
		least := int64(unreached)
		var like []*oracle.Plan // settings that are the goal's cutting
		for _, k := range settings {
			var of kind
			for _, item := range k.Kind() {
				of = of.with(item)
			}
			sc := scoreIn(k.Score())
			sc.Travel = g.score.Travel
			if of == g.kind && sc.Cmp(&g.score) == 0 {
				like, least = append(like, k), min(least, k.Travel)
			}
		}
		if len(like) == 0 {
			continue
		}
		u.pick(g)
		u.room.reset()
		u.have = false
		w := u.pack()
		stops := (s.f.hi-s.f.lo)/s.in.step + 1
		for range 12 {
			lo := s.f.lo + r.Int64N(stops)*s.in.step
			f := fences{lo, min(lo+r.Int64N(1+r.Int64N(stops))*s.in.step, s.f.hi)}
			bound := u.bound(w, f).least()
			for _, k := range like {
				if k.Fence >= f.lo && k.Fence <= f.hi {
					if checked++; bound > k.Travel {
						return checked, fmt.Errorf("over fences %d to %d the least travel is reported as %d; this one is less: %v", f.lo, f.hi, bound, k)
					}
				}
			}
		}
		// What is left out, by shifts, few cuttings or promise, is never the least.
		if u.search(w); !u.have || u.travel > least {
			return checked, fmt.Errorf("settled at a travel of %d (%v), the oracle has %d", u.travel, u.have, least)
		}
	}
	return checked, nil
}
