package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Parts reads the parts of requests that are about more than one board, by the
// same rules and with the same paths as Solve and Check.
type Parts struct{ r reader }

// Saw reads the saw, written out or by name. The error is an UnknownSaw.
func (p *Parts) Saw(m *ripwrightv1.Saw, name string, saws Saws) (saw.Saw, error) {
	switch {
	case m != nil:
		at := at(nil, "saw")
		s := p.r.saw(&at, m)
		return s, nil
	case name != "":
		s, ok := saws.Find(name)
		if !ok {
			return saw.Saw{}, UnknownSaw{name}
		}
		return *s, nil
	}
	p.Add("saw", "is missing; set saw or saw_name")
	return saw.Saw{}, nil
}

// Order reads the order.
func (p *Parts) Order(m *ripwrightv1.CutOrder) ([]order.Item, []Item) { return p.r.order(m) }

// OrderAt reads the items of an order that stands at path, which ends in
// ".order".
func (p *Parts) OrderAt(path string, m *ripwrightv1.CutOrder) []order.Item {
	var r reader
	items, _ := r.order(m)
	p.r.faults.Within(path[:len(path)-len(".order")], r.faults)
	return items
}

// Board reads a board that stands at path, which ends in ".board".
func (p *Parts) Board(path string, m *ripwrightv1.Board) wood.Board {
	var r reader
	b := r.board(m)
	p.r.faults.Within(path[:len(path)-len(".board")], r.faults)
	return b
}

// MM rounds millimetres to whole nanometres.
func (p *Parts) MM(path string, v float64) unit.Length {
	at := at(nil, path)
	return p.r.mm(&at, "", v, Range{Least: -unit.MaxMM, Most: unit.MaxMM})
}

// Money rounds money to millionths.
func (p *Parts) Money(path string, v float64) int64 {
	at := at(nil, path)
	return p.r.whole(&at, "", v, millionths, value)
}

// Number takes a number between least and most.
func (p *Parts) Number(path string, v, least, most float64) float64 {
	if !(v >= least && v <= most) {
		p.Add(path, "is %g; must be a number from %g to %g", v, least, most)
		return least
	}
	return v
}

// ID takes a name of at most 128 characters.
func (p *Parts) ID(path, v string) {
	at := at(nil, path)
	p.r.text(&at, "", v, ids)
}

// Add names a wrong field.
func (p *Parts) Add(path, format string, args ...any) { p.r.faults.Add(path, format, args...) }

// Err gives all faults, the solver's behind those found here, or nil.
func (p *Parts) Err(solvers fault.List) error { return join(p.r.faults, solvers).Err() }

// PlanOf writes a plan out.
func PlanOf(p *rip.Problem, items []Item, plan *rip.Plan) *ripwrightv1.Plan {
	j := Job{Problem: *p, Items: items}
	return j.plan(plan)
}
