package audit

import (
	"slices"

	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// Instructed is Result for the best plan by an operator's instructions. If that plan
// keeps them, the runners-up have to keep them too.
func Instructed(p *rip.Problem, t Terms, n *instructed.Instructions, r *instructed.Plan) []Difference {
	a := auditor{p: p, terms: t, asked: n}
	if a.result(r.Result) {
		a.told(r)
	}
	return a.found
}

// told checks what plans keep of the instructions.
func (a *auditor) told(r *instructed.Plan) {
	for i, p := range append([]*rip.Plan{r.Best}, r.RunnersUp...) {
		a.plan = i
		strips := make([]int, len(a.p.Items))
		for k := range p.Pockets {
			if item := p.Pockets[k].Item; item != rip.None {
				strips[item]++
			}
		}
		for _, item := range a.asked.Forbidden {
			if strips[item] > 0 {
				a.differ(Told, "has %d strips of item %d, which is forbidden", strips[item], item)
			}
		}
		kept := true
		for k, f := range a.asked.Forced {
			kept = kept && strips[f.Item] >= f.Strips
			if i == 0 && (k >= len(r.Made) || r.Made[k] != strips[f.Item]) {
				a.differ(Told, "has by the result %v strips of the forced items; it has %d of item %d", r.Made, strips[f.Item], f.Item)
			}
		}
		if kept != r.Kept {
			a.differ(Told, "keeps the instructions by the result: %v; by the audit: %v", r.Kept, kept)
		}
		for _, l := range a.asked.Locks {
			a.still(p, l)
		}
	}
	a.plan = 0
}

// still checks that an axis stands where it is locked: at the given place, or otherwise
// no further from where it stood than the nearest stop of its travel.
func (a *auditor) still(p *rip.Plan, l instructed.Lock) {
	s := &a.p.Saw
	at, from, t := p.Fence, s.Fence.Current, s.Fence
	if l.Axis != instructed.FenceAxis {
		b := &s.Blades[l.Axis]
		if at = p.Blades[l.Axis]; !b.Moving {
			return // it cannot move
		}
		from, t = b.Travel.Current, b.Travel
	}
	if l.Given {
		if at != l.At {
			a.differ(Told, "axis %d is locked at %d nm and stands at %d", l.Axis, l.At, at)
		}
		return
	}
	moved := max(at-from, from-at)
	for _, x := range []unit.Length{at - s.Step, at + s.Step} {
		if d := max(x-from, from-x); x >= t.Min && x <= t.Max && d < moved {
			a.differ(Told, "axis %d is locked where it stands, %d nm, and stands at %d", l.Axis, from, at)
		}
	}
}

// forced is the least number of strips of an item.
func (a *auditor) forced(id string) int {
	if a.asked != nil {
		for _, f := range a.asked.Forced {
			if a.p.Items[f.Item].ID == id {
				return f.Strips
			}
		}
	}
	return 0
}

// beyond reports whether the strips of a forced item other than the forced ones, the
// smallest, keep what those leave open if they count as much as strips of the item can.
func (a *auditor) beyond(s *spent) bool {
	it := &a.p.Items[s.item]
	n := a.forced(it.ID)
	if n == 0 {
		return false
	}
	rest := slices.Clone(s.strips)
	slices.Sort(rest)
	if rest = rest[:max(len(rest)-n, 0)]; len(rest) == 0 {
		return true
	}
	long := int64(a.p.Board.Length / 1000)
	each := long
	switch {
	case it.Measure == order.ByPieces && it.PieceLength == 0:
		each = 1
	case it.Measure == order.ByPieces:
		each = long * 1000 / int64(it.PieceLength)
	case it.Measure == order.ByArea:
		wide := it.Max - it.Joint
		if !it.Random {
			wide += it.Tolerance
		}
		each = (int64(wide)*long + 999) / 1000
	}
	open, sum := s.open-int64(n)*each, int64(0)
	for _, v := range rest[:len(rest)-1] {
		sum += v
	}
	return open > 0 && sum/s.unitsOfOne < open
}
