// Package shrink gives the shrinkage and swelling of wood from one moisture content to
// another, by the coefficients and equations of the Wood Handbook (USDA Forest Products
// Laboratory, FPL-GTR-190, chapters 4 and 13).
//
// Two equations cover the range:
//
//   - Within 6 to 14 % moisture content: dD = D C (Mf - Mi), with the dimensional
//     change coefficient C of table 13-5, D the size at Mi.
//   - Otherwise, by the total shrinkage S from green to ovendry of table 4-3: a size at
//     M % is D0 (1 - S (30 - M) / 30), D0 the green size, taken as linear between 30 %
//     (above it sizes do not change) and ovendry; the change is the ratio of two sizes.
//
// These are means of a species. Single boards differ, and so do flat-sawn and
// quarter-sawn ones: the width of a flat-sawn board follows the tangential figures, that
// of a quarter-sawn one the radial figures.
package shrink

import "math"

// Species has the coefficients of one species; 0: not known.
type Species struct {
	Name string
	// Total shrinkage from green to ovendry, per cent of the green size: table
	// 4-3.
	Radial, Tangential, Volumetric float64
	// Change coefficients for one per cent of moisture content: table 13-5.
	RadialCoefficient, TangentialCoefficient float64
}

// Equation is the equation by which a change was found.
type Equation int

// The equations of the package comment.
const (
	Unknown      Equation = iota // the figures are not known
	Coefficient                  // table 13-5
	GreenOvendry                 // table 4-3
)

// Bounds on moisture content in per cent of the ovendry weight.
const (
	leastCoefficient, mostCoefficient = 6, 14
	// Saturation is the moisture content below which wood shrinks, as in the Handbook.
	Saturation = 30
	// MaxMoisture is the greatest moisture content accepted: green sapwood of light
	// species holds up to about twice its weight in water.
	MaxMoisture = 250
)

// Change of a size, in per cent of the size at the first moisture content; below 0 for
// shrinkage.
type Change struct {
	Radial, Tangential, Volumetric float64
	Equation                       Equation
}

// Between gives the change from one moisture content to another, both in per cent.
func (s *Species) Between(from, to float64) Change {
	narrow := inRange(from) && inRange(to)
	if narrow && s.RadialCoefficient > 0 && s.TangentialCoefficient > 0 {
		r, t := s.RadialCoefficient*(to-from), s.TangentialCoefficient*(to-from)
		return Change{100 * r, 100 * t, 100 * ((1+r)*(1+t) - 1), Coefficient}
	}
	if s.Radial <= 0 || s.Tangential <= 0 || s.Volumetric <= 0 {
		return Change{}
	}
	ratio := func(total float64) float64 { return 100 * (size(total, to)/size(total, from) - 1) }
	return Change{ratio(s.Radial), ratio(s.Tangential), ratio(s.Volumetric), GreenOvendry}
}

// By gives the change of a size d by one coefficient of table 13-5, in the unit
// of d.
func By(d, coefficient, from, to float64) float64 { return d * coefficient * (to - from) }

func inRange(m float64) bool { return m >= leastCoefficient && m <= mostCoefficient }

// size at a moisture content, relative to the green size.
func size(total, moisture float64) float64 {
	return 1 - total/100*(Saturation-math.Min(moisture, Saturation))/Saturation
}
