package file

import (
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/solver/unit/people"
)

// Quantity is what a field counts, if people may write it with a unit.
type Quantity int

// The quantities.
const (
	Plain  Quantity = iota // a number without a unit, or no number
	Length                 // in mm
	Lineal                 // in m
	Area                   // in m2
	Time                   // in minutes
)

var suffixes = map[Quantity]string{Length: "_mm", Lineal: "_m", Area: "_m2", Time: "_minutes"}

// QuantityOf tells a field's quantity by its name, and what the field is called
// when its value carries the unit. Prices and angles, per m2 and per m, have no
// such second name.
func QuantityOf(f protoreflect.FieldDescriptor) (q Quantity, alias string) {
	name := f.TextName()
	if f.Kind() != protoreflect.DoubleKind || strings.Contains(name, "_per_") {
		return Plain, ""
	}
	for q, suffix := range suffixes {
		if alias, ok := strings.CutSuffix(name, suffix); ok {
			return q, alias
		}
	}
	return Plain, ""
}

// measure reads a quantity with a unit, in what a field of that kind counts.
func (q Quantity) measure(text string) (float64, error) {
	switch q {
	case Area:
		a, err := people.Area(text)
		return a.SquareMetres(), err
	case Time:
		return people.Minutes(text)
	case Plain, Length, Lineal:
	}
	l, err := people.Length(text)
	if q == Lineal {
		return float64(l) / 1e9, err
	}
	return l.MM(), err
}

func (q Quantity) example() string {
	switch q {
	case Area:
		return "120 sq ft"
	case Lineal:
		return "200 lineal ft"
	case Time:
		return "1h 30min"
	case Plain, Length:
	}
	return "44.5mm"
}
