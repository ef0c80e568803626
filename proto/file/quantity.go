package file

import (
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/solver/unit/people"
)

// Quantity is what a field measures, if its value may carry a unit.
type Quantity int

// The quantities.
const (
	Plain   Quantity = iota // a number without a unit, or no number
	Length                  // in mm
	Lineal                  // in m
	Area                    // in m2
	Time                    // in minutes
	Feed                    // in m per min
	Speed                   // in mm per s
	Seconds                 // in s
)

// suffixes are the units in field names; a longer one comes before those that it ends in.
var suffixes = []struct {
	text string
	of   Quantity
}{{"_m_per_min", Feed}, {"_mm_per_s", Speed}, {"_mm", Length}, {"_m2", Area}, {"_m", Lineal}, {"_minutes", Time}, {"_s", Seconds}}

// QuantityOf derives a field's quantity from its name, and gives the name that the field
// has when its value carries the unit. Prices and angles, per m2 and per m, have no such
// second name.
func QuantityOf(f protoreflect.FieldDescriptor) (q Quantity, alias string) {
	if f.Kind() != protoreflect.DoubleKind {
		return Plain, ""
	}
	for _, s := range suffixes {
		if alias, ok := strings.CutSuffix(f.TextName(), s.text); ok && !strings.Contains(alias+"_", "_per_") {
			return s.of, alias
		}
	}
	return Plain, ""
}

// measure reads a quantity with a unit and gives it in the field's unit.
func (q Quantity) measure(text string) (float64, error) {
	switch q {
	case Area:
		a, err := people.Area(text)
		return a.SquareMetres(), err
	case Time:
		return people.Minutes(text)
	case Seconds:
		return people.Seconds(text)
	case Feed:
		return people.Feed(text)
	case Speed:
		return people.Speed(text)
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
	case Seconds:
		return "0.5s"
	case Feed:
		return "20m/min"
	case Speed:
		return "300mm/s"
	case Plain, Length:
	}
	return "44.5mm"
}
