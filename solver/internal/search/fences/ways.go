package fences

import (
	"slices"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// way is a use of the pockets between fixed blades with what it uses up.
type way struct {
	use
	amounts layered.Amounts
}

// ways gives the uses of the pockets at a stop of the fence; of those of one state, those
// that no other dominates. It reports whether they are kept for other fences.
func (x *exact) ways(t int, l *layered.Labels) (list []way, again bool) {
	b := x.between
	plain := !slices.ContainsFunc(b.parts, func(c part) bool { return !c.pocket.Clear(t) })
	if plain && x.clear != nil {
		return x.clear, true
	}
	list = []way{{use: use{state: x.states.Count - 1}}}
	bytes := int(unsafe.Sizeof(way{})) + 16*len(b.parts)
	for _, c := range b.parts {
		near := x.m.Blades[c.to-1].Lo + x.m.Kerf - x.m.Fence(t)
		var all []way
		put := func(o *way, state, want int, sc model.Score, used layered.Amounts) {
			n := way{use{score: o.score.Plus(sc), up: o.up + x.profile.Up(sc.Worth), state: state}, o.amounts.Plus(&used)}
			if n.wants = append(slices.Clone(o.wants), want); l.Keeps(&n.amounts) && !x.profile.Over(64) && x.hold(2*bytes) {
				all = append(all, n)
			}
		}
		for i := range list {
			o := &list[i]
			c.pocket.Strips(t, func(w *model.Want, width, n int64, sc model.Score) {
				x.states.After(o.state, w, width, n, func(state int) {
					put(o, state, w.Index, sc, l.Strip(w, near, near+width))
				})
			})
			put(o, o.state, model.None, model.Score{}, layered.Amounts{})
		}
		list = x.undominated(all)
		x.budget.Free(int64(2 * bytes * (len(all) - len(list))))
	}
	if plain {
		x.clear = list
	}
	return list, plain
}

func (x *exact) undominated(all []way) []way {
	x.budget.Spend(int64(len(all)))
	slices.SortStableFunc(all, func(a, b way) int {
		if c := b.score.Cmp(&a.score); c != 0 {
			return c
		}
		return model.CompareWants(a.wants, b.wants)
	})
	kept := all[:0]
	for i := range all {
		o := &all[i]
		if x.profile.Over(len(kept)) {
			break
		}
		if !slices.ContainsFunc(kept, func(k way) bool { return k.state == o.state && k.amounts.Within(&o.amounts) }) {
			kept = append(kept, *o)
		}
	}
	return kept
}
