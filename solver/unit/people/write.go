package people

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"

	"github.com/ripwright/ripwright/solver/unit"
)

// System is the system of units in which lengths and areas are shown.
type System int

// The systems.
const (
	Metric System = iota // mm, m and m2
	Inch                 // inches, feet and square feet
)

// Systems are the systems by the names that people give them.
var Systems = map[string]System{"mm": Metric, "in": Inch}

// Exact writes a length so that Length reads the same nanometres again: 44.5mm; 1-3/4in
// if it is a whole number of 64ths, otherwise with decimals.
func (s System) Exact(l unit.Length) string {
	if s == Metric {
		return decimals(int64(l), 1_000_000) + "mm"
	}
	if text, ok := fraction(l); ok {
		return text + "in"
	}
	return hundredMillionths(l) + "in"
}

// Feed writes a feed in metres per minute so that the function Feed reads the same number
// again: 20 m/min, 65 ft/min.
func (s System) Feed(metresPerMinute float64) string {
	if s == Metric {
		return shortest(metresPerMinute, 1, 1) + " m/min"
	}
	return shortest(metresPerMinute, foot, 1_000_000_000) + " ft/min"
}

// Speed writes a speed in millimetres per second so that the function Speed reads the
// same number again: 300 mm/s, 12 in/s.
func (s System) Speed(millimetresPerSecond float64) string {
	if s == Metric {
		return shortest(millimetresPerSecond, 1, 1) + " mm/s"
	}
	return shortest(millimetresPerSecond, inch, 1_000_000) + " in/s"
}

// Seconds writes a time so that the function Seconds reads the same number again.
func (s System) Seconds(seconds float64) string { return shortest(seconds, 1, 1) + " s" }

// shortest writes v in units of size/one with the fewest decimals from which v is read
// back.
func shortest(v float64, size, one int64) string {
	unit, exact := big.NewRat(size, one), new(big.Rat)
	if exact.SetFloat64(v) == nil {
		return fmt.Sprint(v) // infinite, or not a number
	}
	exact.Quo(exact, unit)
	for decimals := 0; ; decimals++ {
		text := exact.FloatString(decimals)
		back, _ := new(big.Rat).SetString(text)
		if f, _ := back.Mul(back, unit).Float64(); f == v {
			return text
		}
	}
}

// Width shows a width or a position: to a tenth of a millimetre, with more digits only if
// the length has them; a fraction of an inch if it is one, otherwise thousandths.
func (s System) Width(l unit.Length) string {
	if s == Metric {
		if l%100_000 == 0 {
			return strconv.FormatFloat(float64(l)/1e6, 'f', 1, 64) + " mm"
		}
		return strconv.FormatFloat(float64(l)/1e6, 'f', 2, 64) + " mm"
	}
	if text, ok := fraction(l); ok {
		return text + " in"
	}
	return strconv.FormatFloat(float64(l)/inch, 'f', 3, 64) + " in"
}

// Long shows a length along a board: metres, or feet and inches to the nearest
// 16th.
func (s System) Long(l unit.Length) string {
	if s == Metric {
		return strconv.FormatFloat(float64(l)/1e9, 'f', 3, 64) + " m"
	}
	const sixteenth = inch / 16
	n := unit.FloorDiv(int64(l)+sixteenth/2, sixteenth)
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	feet, rest := n/(12*16), n%(12*16)
	text, _ := fraction(unit.Length(rest * sixteenth))
	switch {
	case feet == 0:
		return sign + text + " in"
	case rest == 0:
		return fmt.Sprintf("%s%d ft", sign, feet)
	}
	return fmt.Sprintf("%s%d ft %s in", sign, feet, text)
}

// Lineal shows a total length as the trade counts it: metres or lineal feet.
func (s System) Lineal(metres float64) string {
	if s == Metric {
		return strconv.FormatFloat(metres, 'f', 2, 64) + " m"
	}
	return strconv.FormatFloat(metres*1e9/foot, 'f', 1, 64) + " lineal ft"
}

// Time shows minutes, with hours from an hour on: 45 min, 7 h 05 min. Fractions of a
// minute are not shown.
func Time(minutes float64) string {
	n := int64(math.Round(minutes))
	if n > -60 && n < 60 {
		return fmt.Sprintf("%d min", n)
	}
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	return fmt.Sprintf("%s%d h %02d min", sign, n/60, n%60)
}

// Area shows an area.
func (s System) Area(squareMetres float64) string {
	if s == Metric {
		return strconv.FormatFloat(squareMetres, 'f', 3, 64) + " m2"
	}
	return strconv.FormatFloat(squareMetres*1e12/squareFoot, 'f', 2, 64) + " sq ft"
}

// fraction writes inches as a mixed fraction, if they are a whole number of
// 64ths.
func fraction(l unit.Length) (string, bool) {
	if l*64%inch != 0 {
		return "", false
	}
	n := int64(l) * 64 / inch
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, top, bottom := n/64, n%64, int64(64)
	for top > 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	switch {
	case top == 0:
		return fmt.Sprintf("%s%d", sign, whole), true
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, top, bottom), true
	}
	return fmt.Sprintf("%s%d-%d/%d", sign, whole, top, bottom), true
}

// decimals writes v/scale, scale a power of ten, with the digits that it has.
func decimals(v, scale int64) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	digits := len(strconv.FormatInt(scale, 10)) - 1
	text := fmt.Sprintf("%s%d.%0*d", sign, v/scale, digits, v%scale)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// hundredMillionths writes inches with eight decimals: a quarter of a nanometre,
// so that rounding finds the length again.
func hundredMillionths(l unit.Length) string {
	const scale = 100_000_000
	sign, v := "", int64(l)
	if v < 0 {
		sign, v = "-", -v
	}
	whole, rest := v/inch, v%inch
	part := (rest*scale + inch/2) / inch
	return sign + decimals(whole*scale+part, scale)
}
