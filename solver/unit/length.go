// Package unit holds the quantities that every decision is made in.
//
// All of them are integers, so that sums are exact, equal inputs give equal answers on
// every machine, and no decision compares rounded floating-point numbers. Both 0.1 mm and
// 1/64 in are whole nanometres.
package unit

import "math"

// Length is a distance in nanometres: positions on the arbor, positions across
// and along the board, widths, kerfs.
type Length int64

// Run is a length along the feed in micrometres. Ends of usable runs are
// rounded inward to whole micrometres, so a run is never longer than the wood.
type Run int64

// Area is in nanometres times micrometres (1e-15 m2): a width times a run.
type Area int64

// Common lengths.
const (
	Nanometre  Length = 1
	Micrometre Length = 1000
	Millimetre Length = 1000 * Micrometre
	Inch       Length = 25_400_000 // exact; NIST SP 811, Appendix B
	Foot       Length = 12 * Inch
)

// SquareMetre is one square metre as an Area.
const SquareMetre Area = 1_000_000_000_000_000

// MaxMM is the most millimetres that FromMM takes: far above any board or saw, far below
// an overflow of a sum of nanometres.
const MaxMM = 1e6

// FromMM rounds millimetres once to whole nanometres, halves away from zero.
// It reports false for NaN, infinities and magnitudes above MaxMM.
func FromMM(mm float64) (Length, bool) {
	if !(math.Abs(mm) <= MaxMM) {
		return 0, false
	}
	return Length(math.Round(mm * 1e6)), true
}

// MM gives the length in millimetres.
func (l Length) MM() float64 { return float64(l) / 1e6 }

// MM gives the run in millimetres.
func (r Run) MM() float64 { return float64(r) / 1e3 }

// Metres gives the run in metres.
func (r Run) Metres() float64 { return float64(r) / 1e6 }

// SquareMetres gives the area in square metres.
func (a Area) SquareMetres() float64 { return float64(a) / 1e15 }

// Floor gives the whole micrometres in l.
func (l Length) Floor() Run { return Run(FloorDiv(int64(l), 1000)) }

// FloorDiv divides rounding towards minus infinity; b must be positive.
func FloorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// CeilDiv divides rounding towards plus infinity; b must be positive.
func CeilDiv(a, b int64) int64 {
	q := a / b
	if a%b > 0 {
		q++
	}
	return q
}
