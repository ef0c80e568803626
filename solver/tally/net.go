package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/internal/published"
)

// Basis says whether a figure is gross (green wood) or net (the same wood kiln-dried).
type Basis int

// The bases.
const (
	Net Basis = iota
	Gross
)

// Convention is how the percentage of a shrinkage allowance is meant.
type Convention int

// The conventions. Trade usage differs, so answers always state which one applies.
const (
	// Subtract takes the allowance as a percentage of gross: net = gross x (1 - p), and
	// conversely gross = net / (1 - p): divide by 0.93 for 7 %, by 0.92 for 8 %.
	Subtract Convention = iota
	// Divide takes the allowance as a percentage of net: net = gross / (1 + p), so gross
	// is net plus p.
	Divide
)

// Allowance converts gross to net and back.
type Allowance struct {
	Convention Convention
	Percent    int64 // millionths of a per cent, 0 to MaxPercent
}

// MaxPercent bounds an allowance, in millionths of a per cent. It is far above
// what any species shrinks, and keeps net above 0.
const MaxPercent = published.MostShrinkageAllowancePercent * 1_000_000

// wholePercent is 1 in millionths of a per cent.
const wholePercent = 100 * 1_000_000

// NetPerGross gives the factor from gross to net.
func (a Allowance) NetPerGross() *big.Rat {
	if a.Convention == Divide {
		return big.NewRat(wholePercent, wholePercent+a.Percent)
	}
	return big.NewRat(wholePercent-a.Percent, wholePercent)
}

// Convert converts a figure from one basis to another.
func (a Allowance) Convert(v *big.Rat, from, to Basis) *big.Rat {
	switch {
	case from == to:
		return new(big.Rat).Set(v)
	case to == Net:
		return new(big.Rat).Mul(v, a.NetPerGross())
	}
	return new(big.Rat).Quo(v, a.NetPerGross())
}
