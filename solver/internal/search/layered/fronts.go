package layered

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// front is the labels of a node that fall short of the best by at most gap.
type front struct {
	gap  int64
	list []Label
}

// front gives the labels of a blade at an entry; begun those from which a strip begins.
func (l *Labels) front(k, st, e int, gap int64, begun bool) *front {
	g := l.g
	kind := 0
	if begun {
		kind = 1
	}
	key := (k*g.q+st)*g.n + e
	f := l.fronts[kind][key]
	if f != nil && f.gap >= gap || l.stopped() {
		if f == nil {
			return &front{}
		}
		return f
	}
	top := g.side.At(k, st, e)
	need := top - gap
	var all []Label
	if k > 0 && top >= 0 {
		g.side.Strips(k, st, e, need, func(costtogo.Clear) bool { return false }, func(x costtogo.Strip) {
			left, right := g.side.Y(k, e), g.side.Y(k-1, x.End)
			if g.side.Left {
				left, right = right, left
			}
			left += g.frame.kerf
			own := l.Strip(x.Want, left, right)
			rest := g.side.At(k-1, x.State, x.End) + g.side.P.Up(x.Score.Worth) - need
			if rest < 0 {
				return
			}
			for _, y := range l.front(k-1, x.State, x.End, rest, false).list {
				n := l.joined(k-1, x.End, x.Want.Index, y)
				n.Score, n.Amounts = n.Score.Plus(x.Score), own.Plus(&y.Amounts)
				all = l.add(all, n, need)
			}
		})
	}
	if !begun {
		if need <= 0 && g.side.Parks(k) {
			all = l.add(all, l.parked(k, g.parkFrom(k, e)), need)
		}
		if next := max(e+g.side.Apart(k), 0); k > 0 && next < g.n && g.side.Rest(k-1, st, next) >= need {
			for _, y := range l.hub(k-1, st, next, need) {
				all = l.add(all, y, need)
			}
		}
	}
	if !l.hold(frontBytes) {
		return &front{}
	}
	f = &front{gap, l.sorted(all)}
	l.fronts[kind][key] = f
	return f
}

// start gives the labels of a blade that stands at an entry after an offcut.
func (l *Labels) start(k, st, e int, gap int64) []Label {
	var all []Label
	for _, y := range l.front(k, st, e, gap, !l.g.side.Limited()).list {
		if y = l.joined(k, e, model.None, y); l.travels != Placed || y.part != nil {
			all = append(all, y)
		}
	}
	return all
}

// hub gives the labels worth at least need of a blade that stands anywhere from an entry
// on after an offcut.
func (l *Labels) hub(k, st, e int, need int64) []Label {
	g := l.g
	key := func(i int) int { return (k*g.q+st)*g.n + i }
	known := func(i int) bool {
		f := l.hubs[key(i)]
		return f != nil && f.gap >= g.side.Rest(k, st, i)-need
	}
	end := e
	for end < g.n && !known(end) && !g.side.P.Over(16) && g.side.Rest(k, st, end) >= need {
		end++
	}
	var list []Label
	if end < g.n && known(end) {
		list = l.hubs[key(end)].list
	}
	for i := end - 1; i >= e && !l.stopped(); i-- {
		if v := g.side.At(k, st, i); v >= max(need, 0) {
			if own := l.start(k, st, i, v-need); len(own) > 0 {
				var all []Label
				for _, y := range own {
					all = l.add(all, y, need)
				}
				for _, y := range list {
					all = l.add(all, y, need)
				}
				list = l.sorted(all)
			}
		}
		if !l.hold(frontBytes) {
			return nil
		}
		l.hubs[key(i)] = &front{g.side.Rest(k, st, i) - need, list}
	}
	return list
}

// add puts a label in a list unless it breaks a cap or falls short.
func (l *Labels) add(all []Label, x Label, need int64) []Label {
	if l.travels == Placed && x.part == nil || x.Score.Travel > l.Farthest || !l.Keeps(&x.Amounts) || l.g.side.P.Up(x.Score.Worth) < need {
		return all
	}
	if *l.room--; *l.room < 0 || l.g.side.P.Over(16) || !l.hold(labelBytes) {
		return all
	}
	return append(all, x)
}

// sorted gives labels best first, without those that are dominated.
func (l *Labels) sorted(all []Label) []Label {
	if l.g.budget.Spend(int64(len(all))/2 + 1); l.stopped() {
		return nil
	}
	slices.SortStableFunc(all, func(a, b Label) int {
		if c := b.Score.Cmp(&a.Score); c != 0 {
			return c
		}
		if l.travels == Placed {
			if c := l.g.compare(a.part, b.part); c != 0 {
				return c
			}
		}
		return compareAmounts(&a.Amounts, &b.Amounts)
	})
	if l.stopped() {
		return nil
	}
	kept := all[:0]
	for i := range all {
		dominated := false
		for j := range kept {
			if kept[j].Amounts.Within(&all[i].Amounts) {
				dominated = true
				break
			}
		}
		if l.g.side.P.Over(4 * len(kept)) {
			return nil
		}
		if !dominated {
			kept = append(kept, all[i])
		}
	}
	bytes := labelBytes * (len(all) - len(kept))
	l.held -= bytes
	l.g.budget.Free(int64(bytes))
	return slices.Clone(kept)
}
