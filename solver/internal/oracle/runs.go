package oracle

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/wood"
)

// runsOf gives where the trimmed wood covers [p, q], solved exactly per stretch
// in rational numbers, ends rounded inward to micrometres.
func runsOf(b *wood.Board, trim, p, q int64) [][2]int64 {
	st := append([]wood.Station{}, b.Stations...)
	if st[0].X > 0 {
		st = append([]wood.Station{{X: 0, Near: st[0].Near, Far: st[0].Far}}, st...)
	}
	if l := st[len(st)-1]; l.X < b.Length {
		st = append(st, wood.Station{X: b.Length, Near: l.Near, Far: l.Far})
	}
	nt := trim
	if b.StraightNear {
		nt = 0
	}
	if len(st) == 1 {
		st = append(st, st[0])
	}
	var out [][2]*big.Rat
	R := func(v int64) *big.Rat { return new(big.Rat).SetInt64(v) }
	for i := 1; i < len(st); i++ {
		s, t := st[i-1], st[i]
		lo, hi := R(int64(s.X)), R(int64(t.X))
		ok := true
		// g0 + (g1-g0) u >= 0
		cut := func(g0, g1 int64) {
			switch {
			case g0 >= 0 && g1 >= 0:
			case g0 < 0 && g1 < 0:
				ok = false
			default:
				x := new(big.Rat).SetFrac64(-g0, g1-g0)
				x.Mul(x, R(int64(t.X-s.X))).Add(x, R(int64(s.X)))
				if g0 < 0 {
					if x.Cmp(lo) > 0 {
						lo = x
					}
				} else if x.Cmp(hi) < 0 {
					hi = x
				}
			}
		}
		cut(p-int64(s.Near)-nt, p-int64(t.Near)-nt)
		cut(int64(s.Far)-trim-q, int64(t.Far)-trim-q)
		if !ok || lo.Cmp(hi) > 0 {
			continue
		}
		if n := len(out); n > 0 && out[n-1][1].Cmp(lo) >= 0 {
			out[n-1][1] = hi
		} else {
			out = append(out, [2]*big.Rat{lo, hi})
		}
	}
	var r [][2]int64
	for _, o := range out {
		a := new(big.Rat).Quo(o[0], R(1000))
		b := new(big.Rat).Quo(o[1], R(1000))
		f := new(big.Int).Div(b.Num(), b.Denom()).Int64()
		neg := new(big.Int).Neg(a.Num())
		c := -new(big.Int).Div(neg, a.Denom()).Int64()
		if f > c {
			r = append(r, [2]int64{c, f})
		}
	}
	return r
}

// inWood looks for a point of the open band inside the wood: by the corners of
// every stretch clipped to the band.
func inWood(b *wood.Board, lo, hi int64) bool {
	if hi <= lo {
		return false
	}
	s := b.Stations
	for i := range s {
		j := min(i+1, len(s)-1)
		if s[i].Near == s[i].Far && s[j].Near == s[j].Far {
			continue
		}
		// Along x the stretch is convex: it meets the open band unless all four
		// corners lie on one side.
		below := int64(s[i].Far) <= lo && int64(s[j].Far) <= lo
		above := int64(s[i].Near) >= hi && int64(s[j].Near) >= hi
		if !below && !above {
			return true
		}
	}
	return false
}
