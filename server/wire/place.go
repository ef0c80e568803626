// Package wire turns messages into the solver's exact types and back.
//
// Every number is rounded once, here. What cannot be taken at all (not a
// number, infinite, out of any range, no unit chosen) is named by its path in
// the request; what the solver's own checks find uses the same paths, and both
// lists are given together.
package wire

import (
	"math"
	"strconv"
	"unicode/utf8"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
)

// maxID bounds ids, names and stacks, in characters.
const maxID = 128

// place is where in the request a value stands. Paths are put together only
// when there is a fault to report.
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

// reader collects what is wrong while it converts.
type reader struct {
	faults fault.List
}

// mm rounds millimetres to whole nanometres.
func (r *reader) mm(p *place, field string, v float64) unit.Length {
	l, ok := unit.FromMM(v)
	if !ok {
		r.faults.Add(p.path(field), "is %g; must be a number of mm from %g to %g", v, -unit.MaxMM, unit.MaxMM)
	}
	return l
}

// whole rounds v times scale to a whole number between 0 and max, which is
// given in the unit of v.
func (r *reader) whole(p *place, field string, v, scale, max float64) int64 {
	if !(v >= 0 && v <= max) {
		r.faults.Add(p.path(field), "is %g; must be a number from 0 to %g", v, max)
		return 0
	}
	return int64(math.Round(v * scale))
}

func (r *reader) id(p *place, field, v string) {
	if len(v) > maxID && utf8.RuneCountInString(v) > maxID {
		r.faults.Add(p.path(field), "has %d characters; at most %d are taken", utf8.RuneCountInString(v), maxID)
	}
}
