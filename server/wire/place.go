// Package wire converts messages to the solver's exact types and back.
//
// Every number is rounded once, here. A value that cannot be used at all (not a number,
// outside its published range, no unit chosen) is named by its path in the request; the
// solver's own checks of how fields relate to each other use the same paths, and both
// lists are returned together.
package wire

import (
	"math"
	"strconv"
	"unicode/utf8"

	"github.com/ripwright/ripwright/proto/limits"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
)

// place is where in the request a value is. Paths are built only when there is a fault to
// report.
type place struct {
	in    *place
	name  string
	index int // below 0: not in a list
}

func at(in *place, name string) place             { return place{in, name, -1} }
func nth(in *place, name string, index int) place { return place{in, name, index} }

func (p *place) path(field string) string {
	s := p.name
	if p.index >= 0 {
		s += "[" + strconv.Itoa(p.index) + "]"
	}
	if field != "" && s != "" {
		s += "."
	}
	s += field
	if p.in != nil {
		return p.in.path(s)
	}
	return s
}

// reader collects faults while it converts.
type reader struct {
	faults fault.List
}

// number gives 0 for a value outside the range.
func (r *reader) number(p *place, field string, v float64, g limits.Range) float64 {
	if !g.Holds(v) {
		r.faults.Because(fault.OutOfRange, p.path(field), "is %s; must be %s", limits.Plain(v), g.Wanted())
		return 0
	}
	return v
}

// mm rounds millimetres to whole nanometres.
func (r *reader) mm(p *place, field string, v float64, g limits.Range) unit.Length {
	l, _ := unit.FromMM(r.number(p, field, v, g))
	return l
}

// whole rounds v times scale to a whole number.
func (r *reader) whole(p *place, field string, v, scale float64, g limits.Range) int64 {
	return int64(math.Round(r.number(p, field, v, g) * scale))
}

// maybe is whole for a value that may be absent, which is 0.
func (r *reader) maybe(p *place, field string, v *float64, scale float64, g limits.Range) int64 {
	if v == nil {
		return 0
	}
	n := r.whole(p, field, *v, scale, g)
	if g.Holds(*v) {
		n = max(n, smallest(g))
	}
	return n
}

// maybeMM is mm for a length that may be absent, which is 0.
func (r *reader) maybeMM(p *place, field string, v *float64, g limits.Range) unit.Length {
	return unit.Length(r.maybe(p, field, v, float64(unit.Millimetre), g))
}

// count is number for a whole number that may be absent or outside the range, with usual
// as the default.
func (r *reader) count(p *place, field string, v *int32, usual int, g limits.Range) int {
	if v == nil {
		return usual
	}
	if n := r.number(p, field, float64(*v), g); g.Holds(float64(*v)) {
		return int(n)
	}
	return usual
}

// smallest is the least that a value rounds to: 1 if it must be above 0, not absent.
func smallest(g limits.Range) int64 {
	if g.Above && g.Least == 0 {
		return 1
	}
	return 0
}

// text reports whether a string is UTF-8 (proto/codec leaves that open) and its length
// within its limits.
func (r *reader) text(p *place, field, v string, g limits.Range) bool {
	n := utf8.RuneCountInString(v)
	switch {
	case !utf8.ValidString(v):
		r.faults.Because(fault.NotUTF8, p.path(field), "is not UTF-8")
	case g.Holds(float64(n)):
		return true
	case n == 0:
		r.faults.Because(fault.Missing, p.path(field), "is empty; must have %s characters", g)
	default:
		r.faults.Because(fault.WrongLength, p.path(field), "has %d characters; must have %s", n, g)
	}
	return false
}

// entries reports whether a list is no longer than it may be. Whether it may be empty is
// left to the solver, which knows why.
func (r *reader) entries(p *place, field string, n int, g limits.Range) bool {
	if float64(n) <= g.Most {
		return true
	}
	r.faults.Because(fault.WrongCount, p.path(field), "has %d entries; must have %s", n, g)
	return false
}
