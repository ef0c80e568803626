package tally

import "math/big"

// Basis says whether a figure is gross (the green wood) or net (what is left of
// it once it is kiln-dried).
type Basis int

// The bases.
const (
	Net Basis = iota
	Gross
)

// Convention is how a shrinkage allowance of so many per cent is meant.
type Convention int

// The conventions. Trade usage differs, so it is never assumed silently: answers
// carry it.
const (
	// Subtract takes the allowance as a share of gross: net = gross x (1 - p).
	// Read backwards it divides: gross = net / (1 - p), for instance by 0.93 for
	// 7 %, or by 0.92 for 8 %.
	Subtract Convention = iota
	// Divide takes the allowance as a share of net: net = gross / (1 + p), so
	// that gross is net and p more.
	Divide
)

// Allowance turns gross into net and back.
type Allowance struct {
	Convention Convention
	Percent    int64 // millionths of a per cent, 0 to MaxPercent
}

// MaxPercent bounds an allowance, in millionths of a per cent. It is far above
// what any species shrinks, and keeps net above 0.
const MaxPercent = 50 * 1_000_000

// wholePercent is 1 in millionths of a per cent.
const wholePercent = 100 * 1_000_000

// NetPerGross gives what a gross figure is multiplied with to be net.
func (a Allowance) NetPerGross() *big.Rat {
	if a.Convention == Divide {
		return big.NewRat(wholePercent, wholePercent+a.Percent)
	}
	return big.NewRat(wholePercent-a.Percent, wholePercent)
}

// Convert gives a figure in another basis.
func (a Allowance) Convert(v *big.Rat, from, to Basis) *big.Rat {
	switch {
	case from == to:
		return new(big.Rat).Set(v)
	case to == Net:
		return new(big.Rat).Mul(v, a.NetPerGross())
	}
	return new(big.Rat).Quo(v, a.NetPerGross())
}
