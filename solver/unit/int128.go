package unit

import (
	"math"
	"math/big"
	"math/bits"
)

// Worth is the money value of strips: an exact signed 128-bit integer in units
// of 1e-21 of the order's money. A rate per area is in millionths of money per
// square metre, so rate x width in nm x run in um lands on that unit.
type Worth struct {
	Hi int64
	Lo uint64
}

// WorthOf multiplies non-negative factors. Their product must stay below 2^127; the
// published limits of values, widths and lengths ensure that.
func WorthOf(a, b, c int64) Worth {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	h1, l1 := bits.Mul64(lo, uint64(c))
	_, l2 := bits.Mul64(hi, uint64(c))
	return Worth{int64(h1 + l2), l1}
}

// Add gives w + v.
func (w Worth) Add(v Worth) Worth {
	lo, carry := bits.Add64(w.Lo, v.Lo, 0)
	hi, _ := bits.Add64(uint64(w.Hi), uint64(v.Hi), carry)
	return Worth{int64(hi), lo}
}

// Sub gives w - v.
func (w Worth) Sub(v Worth) Worth {
	lo, borrow := bits.Sub64(w.Lo, v.Lo, 0)
	hi, _ := bits.Sub64(uint64(w.Hi), uint64(v.Hi), borrow)
	return Worth{int64(hi), lo}
}

// Cmp is -1, 0 or 1 as w is less than, equal to or greater than v.
func (w Worth) Cmp(v Worth) int {
	switch {
	case w.Hi < v.Hi, w.Hi == v.Hi && w.Lo < v.Lo:
		return -1
	case w == v:
		return 0
	}
	return 1
}

// IsZero reports whether w is 0.
func (w Worth) IsZero() bool { return w == Worth{} }

// Big gives w as a big integer in units of 1e-21.
func (w Worth) Big() *big.Int {
	b := new(big.Int).Lsh(big.NewInt(w.Hi), 64)
	return b.Add(b, new(big.Int).SetUint64(w.Lo))
}

// One unit of money is 10^21 = 2^21 x 5^21 units of Worth.
const pow5 = 476837158203125 // 5^21, of 49 bits

// Money gives w in units of money, as the nearest float64; for display only.
func (w Worth) Money() float64 {
	hi, lo, sign := uint64(w.Hi), w.Lo, 1.0
	if w.Hi < 0 {
		m := Worth{}.Sub(w)
		hi, lo, sign = uint64(m.Hi), m.Lo, -1
	}
	if hi|lo == 0 {
		return 0
	}
	// Shifted to 112 bits, w gives a quotient of 63 or 64 bits: more than a float64
	// holds, so the lost bits matter only as one that breaks a tie.
	n := bits.Len64(hi) + 64
	if hi == 0 {
		n = bits.Len64(lo)
	}
	lost := false
	if up := 112 - n; up >= 64 {
		hi, lo = lo<<(up-64), 0
	} else if up > 0 {
		hi, lo = hi<<up|lo>>(64-up), lo<<up
	} else if up < 0 {
		lost = lo<<(64+up) != 0
		hi, lo = hi>>-up, hi<<(64+up)|lo>>-up
	}
	q, rest := bits.Div64(hi, lo, pow5)
	if rest != 0 || lost {
		q |= 1
	}
	return sign * math.Ldexp(float64(q), n-112-21)
}

// MulDiv gives floor(a*b/c) for non-negative a, b and positive c, through 128
// bits. The quotient must fit 63 bits.
func MulDiv(a, b, c int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, _ := bits.Div64(hi, lo, uint64(c))
	return int64(q)
}

// MulDivCeil is MulDiv rounded up.
func MulDivCeil(a, b, c int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, r := bits.Div64(hi, lo, uint64(c))
	if r != 0 {
		q++
	}
	return int64(q)
}
