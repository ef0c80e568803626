package audit

import (
	"math/bits"

	"github.com/ripwright/ripwright/solver/unit"
)

// wide is a signed integer of 128 bits.
type wide struct {
	hi int64
	lo uint64
}

func (w wide) plus(v wide) wide {
	lo, carry := bits.Add64(w.lo, v.lo, 0)
	return wide{w.hi + v.hi + int64(carry), lo}
}

func (w wide) minus(v wide) wide {
	lo, borrow := bits.Sub64(w.lo, v.lo, 0)
	return wide{w.hi - v.hi - int64(borrow), lo}
}

func (w wide) below0() bool { return w.hi < 0 }

// product of two integers.
func product(a, b int64) wide {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	// In two's complement a negative factor counts 2^64 too much.
	return wide{int64(hi) - (a>>63)&b - (b>>63)&a, lo}
}

// by is w times b, which must fit.
func (w wide) by(b int64) wide {
	p := product(int64(w.lo>>1), b) // w.lo may have its top bit set
	p = p.plus(p)
	if w.lo&1 != 0 {
		p = p.plus(wide{b >> 63, uint64(b)})
	}
	p.hi += w.hi * b
	return p
}

// over divides a w that is not below 0, rounding down; the quotient must fit 127
// bits.
func (w wide) over(d uint64) wide {
	hi, rest := uint64(w.hi)/d, uint64(w.hi)%d
	lo, _ := bits.Div64(rest, w.lo, d)
	return wide{int64(hi), lo}
}

// area gives twice an area in nm2 in units of unit.Area, rounded down; 0 if it is below
// 0.
func (w wide) area() unit.Area {
	if w.below0() {
		return 0
	}
	return unit.Area(w.over(2000).lo)
}

func (w wide) worth() unit.Worth { return unit.Worth{Hi: w.hi, Lo: w.lo} }

// ratio gives a*b/c for factors that are not below 0 and c above 0, rounded down
// and up. The quotient must fit 63 bits.
func ratio(a, b, c int64) (down, up int64) {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, rest := bits.Div64(hi, lo, uint64(c))
	down, up = int64(q), int64(q)
	if rest > 0 {
		up++
	}
	return down, up
}
