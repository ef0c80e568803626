package withhold

import (
	"math"

	"github.com/ripwright/ripwright/solver/unit"
)

// Floats are computed here in another way than in wire, in both from whole numbers in a few
// steps. Two stand for one number if they differ by no more than part of the greater one,
// some thousand times the error of those steps, and rest: a unit.Area in square metres, for
// what is 0 only before rounding.
const (
	part = 1e-12
	rest = 1e-15
)

// near reports whether two numbers are equal up to the precision of floats.
func near(a, b float64) bool {
	return math.Abs(a-b) <= part*math.Max(math.Abs(a), math.Abs(b))+rest
}

// mm reports whether a number of millimetres equals nm nanometres.
func mm(v float64, nm unit.Length) bool { return near(v*1e6, float64(nm)) }

// money is a worth as a float, computed differently than in wire.
func money(w unit.Worth) float64 { return (float64(w.Hi)*0x1p64 + float64(w.Lo)) / 1e21 }
