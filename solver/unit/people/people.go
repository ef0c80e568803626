// Package people reads and writes lengths, areas, times and speeds as people write them:
// 1-3/4in, 1 3/4", 44.5mm, 12ft 6in, 200 lineal ft, 120 sq ft, 1h 30min, 65 ft/min.
//
// Everything is computed in rational numbers and rounded once: lengths and areas to whole
// nanometres or square micrometres, halves away from zero, times and speeds to the
// nearest floating-point number. A quantity other than 0 without a unit is an error: 44
// could be millimetres or inches, and 0 is the same in either. The inch and the units
// derived from it are those of NIST Special Publication 811, Appendix B.8.
package people

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"github.com/ripwright/ripwright/solver/unit"
)

// SquareMicrometres is an area in whole square micrometres, the unit of an order's areas.
type SquareMicrometres int64

// SquareMetres gives the area in square metres.
func (a SquareMicrometres) SquareMetres() float64 { return float64(a) / 1e12 }

// How to write lengths and areas, for messages that reject something else.
const (
	LengthExamples = `44.5mm, 2.4m, 1-3/4in, 1 3/4", 12ft 6in or 200 lineal ft`
	AreaExamples   = `1.5m2, 120 sq ft or 86sq in`
	TimeExamples   = `45min, 1h 30min or 7.5h`

	SecondsExamples = `0.5s, 400ms or 1-1/2min`
	SpeedExamples   = `20m/min, 65ft/min, 300mm/s or 12in/s`
)

// Length reads a length. Feet may be followed by inches; anything else is one
// number and one unit.
func Length(text string) (unit.Length, error) {
	sum, err := read(text, lengthTerm, lengthUnits, LengthExamples)
	if err != nil {
		return 0, err
	}
	l, ok := round(sum)
	if !ok {
		return 0, fmt.Errorf("%q is too long", text)
	}
	return unit.Length(l), nil
}

// Area reads an area.
func Area(text string) (SquareMicrometres, error) {
	sum, err := read(text, areaTerm, areaUnits, AreaExamples)
	if err != nil {
		return 0, err
	}
	a, ok := round(sum)
	if !ok {
		return 0, fmt.Errorf("%q is too large", text)
	}
	return SquareMicrometres(a), nil
}

// Minutes reads a duration, in minutes. Hours may be followed by minutes; anything else
// is one number and one unit.
func Minutes(text string) (float64, error) {
	return number64(text, timeTerm, timeUnits, TimeExamples, minute)
}

// Seconds reads a duration, in seconds: one number and one unit.
func Seconds(text string) (float64, error) {
	return number64(text, secondTerm, milliseconds, SecondsExamples, milliseconds["s"])
}

// Feed reads a feed speed, in metres per minute: one number and one unit.
func Feed(text string) (float64, error) {
	return number64(text, speedTerm, speedUnits, SpeedExamples, metrePerMinute)
}

// Speed reads a speed, in millimetres per second: one number and one unit.
func Speed(text string) (float64, error) {
	return number64(text, speedTerm, speedUnits, SpeedExamples, millimetrePerSecond)
}

// number64 reads a number that is not below 0, as a multiple of of, which is in the unit
// of units.
func number64(text string, term *regexp.Regexp, units map[string]int64, examples string, of int64) (float64, error) {
	sum, err := read(text, term, units, examples)
	if err != nil {
		return 0, err
	}
	if sum.Sign() < 0 {
		return 0, fmt.Errorf("%s is below 0; write it as %s", quote(text), examples)
	}
	v, _ := sum.Quo(sum, big.NewRat(of, 1)).Float64()
	return v, nil
}

// round gives the nearest whole number, halves away from zero; false if it does not fit.
func round(r *big.Rat) (int64, bool) {
	half := big.NewRat(1, 2)
	if r.Sign() < 0 {
		half.Neg(half)
	}
	sum := new(big.Rat).Add(r, half)
	whole := new(big.Int).Quo(sum.Num(), sum.Denom()) // towards zero
	return whole.Int64(), whole.IsInt64()
}

// quote quotes the input, cut to a length that fits a message.
func quote(text string) string {
	if r := []rune(text); len(r) > 40 {
		text = string(r[:40]) + "..."
	}
	return `"` + strings.ReplaceAll(text, "\n", " ") + `"`
}
