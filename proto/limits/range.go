// Package limits has the published limits of requests, which the schema states in the
// option takes of its fields. The service's refusals, the solver's bounds, the comments, the
// reference, the OpenAPI description and the JSON Schemas of files follow from them.
package limits

import (
	"math"
	"strconv"
	"strings"
)

// Range is what a field of a request takes: a number, the number of characters of a
// string or the number of entries of a list.
type Range struct {
	Least, Most float64
	Above       bool // Least itself is excluded
	Whole       bool // whole numbers only
}

// Holds reports whether v is in the range. NaN never is.
func (g Range) Holds(v float64) bool {
	return v >= g.Least && v <= g.Most && (!g.Above || v > g.Least) && (!g.Whole || v == math.Trunc(v))
}

// String writes the range as the schema's comments and the reference do.
func (g Range) String() string {
	if g.Above {
		return "above " + Plain(g.Least) + " and at most " + Plain(g.Most)
	}
	return Plain(g.Least) + " to " + Plain(g.Most)
}

// Wanted says what a number must be.
func (g Range) Wanted() string {
	if g.Whole {
		return "a whole number, " + g.String()
	}
	return "a number, " + g.String()
}

// Plain writes a number as people do: with all its digits as long as they can be counted
// at a glance.
func Plain(v float64) string {
	if a := math.Abs(v); v == 0 || a >= 1e-6 && a < 1e10 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strings.NewReplacer("e+", "e", "e-0", "e-").Replace(strconv.FormatFloat(v, 'g', -1, 64))
}
