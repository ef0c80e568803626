package oracle

import (
	"math/big"
	"math/bits"
)

// money is an exact amount of 128 bits in units of 1e-21 of the order's money.
type money struct {
	hi int64
	lo uint64
}

// product multiplies, through integers of any size.
func product(factors ...int64) money {
	z := big.NewInt(1)
	for _, f := range factors {
		z.Mul(z, big.NewInt(f))
	}
	if z.BitLen() > 126 {
		panic("oracle: an amount of more than 126 bits")
	}
	low := new(big.Int).And(z, new(big.Int).SetUint64(^uint64(0)))
	return money{new(big.Int).Rsh(z, 64).Int64(), low.Uint64()}
}

func (a money) plus(b money) money {
	lo, carry := bits.Add64(a.lo, b.lo, 0)
	return money{a.hi + b.hi + int64(carry), lo}
}

func (a money) minus(b money) money {
	lo, borrow := bits.Sub64(a.lo, b.lo, 0)
	return money{a.hi - b.hi - int64(borrow), lo}
}

// more is above 0 if a is more than b, below 0 if it is less.
func (a money) more(b money) int {
	switch {
	case a == b:
		return 0
	case a.hi > b.hi || a.hi == b.hi && a.lo > b.lo:
		return 1
	}
	return -1
}

func (a money) big() *big.Int {
	z := new(big.Int).Lsh(big.NewInt(a.hi), 64)
	return z.Add(z, new(big.Int).SetUint64(a.lo))
}

// downDiv is a*b/c rounded down, through 128 bits; a and b are not negative.
func downDiv(a, b, c int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, _ := bits.Div64(hi, lo, uint64(c))
	return int64(q)
}

// upDiv is downDiv rounded up.
func upDiv(a, b, c int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, rest := bits.Div64(hi, lo, uint64(c))
	return int64(q) + int64(min(rest, 1))
}

// thousandths gives the whole micrometres in a length of nanometres, rounded down
// or up.
func thousandths(nm int64, up bool) int64 {
	q, rest := nm/1000, nm%1000
	switch {
	case rest > 0 && up:
		q++
	case rest < 0 && !up:
		q--
	}
	return q
}
