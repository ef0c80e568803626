package run

import (
	"math/big"
	"math/bits"

	"github.com/ripwright/ripwright/solver/unit"
)

// Sum adds up what would overflow 64 bits over a run: areas in unit.Area, and areas times
// thickness. It is never below 0.
type Sum struct{ Hi, Lo uint64 }

// AddProduct adds a times b, neither below 0.
func (s *Sum) AddProduct(a, b int64) {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	var carry uint64
	s.Lo, carry = bits.Add64(s.Lo, lo, 0)
	s.Hi += hi + carry
}

// AddArea adds an area, not below 0.
func (s *Sum) AddArea(a unit.Area) { s.AddProduct(int64(a), 1) }

// Float gives the nearest float64, for display.
func (s Sum) Float() float64 {
	b := new(big.Int).SetUint64(s.Hi)
	b.Lsh(b, 64).Add(b, new(big.Int).SetUint64(s.Lo))
	f, _ := new(big.Float).SetInt(b).Float64()
	return f
}

// SquareMetres gives a sum of areas in square metres.
func (s Sum) SquareMetres() float64 { return s.Float() / float64(unit.SquareMetre) }

// CubicMetres gives a sum of areas times lengths in cubic metres.
func (s Sum) CubicMetres() float64 { return s.Float() / 1e24 }

// Add adds another sum.
func (s *Sum) Add(o Sum) {
	var carry uint64
	s.Lo, carry = bits.Add64(s.Lo, o.Lo, 0)
	s.Hi += o.Hi + carry
}
