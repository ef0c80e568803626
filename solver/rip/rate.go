package rip

import (
	"github.com/ripwright/ripwright/solver/unit"
)

// rate scores a plan from its positions and items alone. It reports false if it is not
// valid or has a strip without a counted run.
func (in *instance) rate(fence int64, p *path) (sc score, ok bool) {
	if fence < in.fenceLo || fence > in.fenceHi || fence%in.step != 0 {
		return sc, false
	}
	used := make([]uses, in.caps)
	sc.Travel = max(fence-in.fence0, in.fence0-fence)
	for j, a := range p.blades {
		b := &in.blades[j]
		if a < b.lo || a > b.hi || b.moving && a%in.step != 0 || j > 0 && a-p.blades[j-1]-in.kerf < in.gap {
			return sc, false
		}
		if b.moving {
			sc.Travel += max(a-b.current, b.current-a)
		}
		if y := unit.Length(a - fence); in.p.Board.Meets(y, y+unit.Length(in.kerf)) {
			sc.Blades++
		}
	}
	first := 0
	if in.straight {
		first = -1
	}
	for i, k := range p.wants {
		left, right := fenceFace, p.blades[first+i+1]-fence
		if first+i >= 0 {
			left = p.blades[first+i] + in.kerf - fence
		}
		if k == noWant {
			if first+i >= 0 {
				sc.Worth = sc.Worth.Add(in.fedAgain(left, right))
			}
			continue
		}
		if in.straight {
			left = max(left, 0)
		}
		w := &in.wants[k]
		if !w.fits(right - left) {
			return sc, false
		}
		c := cut{}
		if left >= in.outerLo && right <= in.outerHi {
			c = w.count(in.runs(nil, w, left, right), true)
		}
		if c.n == 0 {
			return sc, false
		}
		sc.Worth = sc.Worth.Add(w.worth(right-left, c))
		sc.Area += (right - left) * c.n
		if !w.it.Random {
			sc.Dev += int64(apart(unit.Length(right-left), w.it.Min))
		}
		if w.cap >= 0 {
			used[w.cap] = used[w.cap].with(w.amount(right-left, c))
			if u := used[w.cap]; u.sum-u.largest >= w.open {
				return sc, false
			}
		}
	}
	n := len(p.blades) - 1
	sc.Worth = sc.Worth.Add(in.fedAgain(p.blades[n]+in.kerf-fence, farOut))
	if !in.straight || p.wants[0] == noWant {
		sc.Worth = sc.Worth.Add(in.fedAgain(fenceFace, p.blades[0]-fence))
	}
	return sc, true
}

// fedAgain is the worth of the gap between two heights when fed again.
func (in *instance) fedAgain(left, right int64) worth {
	if in.reripWidth == 0 {
		return worth{}
	}
	if o := min(min(right, in.fullHi)-max(left, in.fullLo), right-left); o >= in.reripWidth {
		return unit.WorthOf(in.reripV, o, in.length)
	}
	return worth{}
}
