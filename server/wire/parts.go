package wire

import (
	"errors"
	"strings"
	"time"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Parts reads the parts of requests about more than one board, by the same rules and with
// the same paths as Solve and Check.
type Parts struct{ r reader }

// Saw reads the saw, written out or by name. The error is an UnknownSaw.
func (p *Parts) Saw(m sawChoice, saws Saws) (Machine, error) { return p.r.choice(m, saws) }

// SawAt reads the saw of the part of the request at path. The error is an UnknownSaw.
func (p *Parts) SawAt(path string, m sawChoice, saws Saws) (Machine, error) {
	var r reader
	s, err := r.choice(m, saws)
	var unknown UnknownSaw
	if errors.As(err, &unknown) {
		unknown.At = path + "."
		return s, unknown
	}
	for _, f := range r.faults {
		f.Path = path + "." + f.Path
		p.r.faults = append(p.r.faults, f)
	}
	return s, err
}

// Amount reads the amount at path, of a range of widths or of a fixed one. It gives
// order.Unlimited if the unit is wrong.
func (p *Parts) Amount(path string, random bool, m *ripwrightv1.Amount) (order.Measure, int64) {
	at := at(nil, path)
	return p.r.amount(&at, "", random, m)
}

// AmountOf writes an amount.
func AmountOf(count order.Measure, v int64) *ripwrightv1.Amount { return amount(count, v) }

// Order reads the order.
func (p *Parts) Order(m *ripwrightv1.CutOrder) ([]order.Item, []Item) { return p.r.order(m) }

// OrderAt reads the items of the order at path.
func (p *Parts) OrderAt(path string, m *ripwrightv1.CutOrder) []order.Item {
	var r reader
	items, _ := r.order(m)
	p.take(r.faults, "order", path)
	return items
}

// Board reads the board at path.
func (p *Parts) Board(path string, m *ripwrightv1.Board) wood.Board {
	var r reader
	b := r.board(m)
	p.take(r.faults, "board", path)
	return b
}

// take takes over the faults of a part that was read as if at from.
func (p *Parts) take(l fault.List, from, path string) {
	for _, f := range l {
		f.Path = path + strings.TrimPrefix(f.Path, from)
		p.r.faults = append(p.r.faults, f)
	}
}

// MM rounds millimetres to whole nanometres.
func (p *Parts) MM(path string, v float64, g limits.Range) unit.Length {
	at := at(nil, path)
	return p.r.mm(&at, "", v, g)
}

// PerBoardFoot reads a price per thousand board feet, in millionths of money per
// board foot; absent is 0.
func (p *Parts) PerBoardFoot(path string, v *float64, g limits.Range) int64 {
	at := at(nil, path)
	return p.r.maybe(&at, "", v, millionths/1000, g)
}

// Number gives 0 for a value outside the range.
func (p *Parts) Number(path string, v float64, g limits.Range) float64 {
	at := at(nil, path)
	return p.r.number(&at, "", v, g)
}

// Count is Number for whole numbers that may be absent, with usual as the default.
func (p *Parts) Count(path string, n *int32, usual int, g limits.Range) int {
	at := at(nil, path)
	return p.r.count(&at, "", n, usual, g)
}

// Row reads the fields of an entry of a list, which may have tens of thousands.
type Row struct {
	r  *reader
	at place
}

// Row is entry i of the list at path.
func (p *Parts) Row(path string, i int) Row { return Row{&p.r, nth(nil, path, i)} }

// MM rounds millimetres to whole nanometres.
func (w *Row) MM(field string, v float64, g limits.Range) unit.Length {
	return w.r.mm(&w.at, field, v, g)
}

// Count reads a whole number that may be absent, with usual as the default; 0 for a value
// outside the range.
func (w *Row) Count(field string, n *int32, usual int, g limits.Range) int64 {
	return int64(w.r.count(&w.at, field, n, usual, g))
}

// Maybe is Number for a value that may be absent, with usual as the default.
func (p *Parts) Maybe(path string, v *float64, usual float64, g limits.Range) float64 {
	if v == nil {
		return usual
	}
	return p.Number(path, *v, g)
}

// MaybeMM is MM for a length that may be absent, which is 0.
func (p *Parts) MaybeMM(path string, v *float64, g limits.Range) unit.Length {
	at := at(nil, path)
	return p.r.maybeMM(&at, "", v, g)
}

// Limit reads a time limit in ms; absent is 0.
func (p *Parts) Limit(path string, ms *float64) time.Duration {
	at := at(nil, path)
	return time.Duration(p.r.maybe(&at, "", ms, 1e6, timeLimit)) // less than a nanosecond is a limit too
}

// Text reports whether a string is UTF-8 and its length within its limits.
func (p *Parts) Text(path, v string, g limits.Range) bool {
	at := at(nil, path)
	return p.r.text(&at, "", v, g)
}

// Entries reports whether the length of a list is within its limits.
func (p *Parts) Entries(path string, n int, g limits.Range) bool {
	at := at(nil, path)
	if n == 0 && g.Least > 0 {
		p.Because(fault.Missing, path, "is empty; must have %s entries", g)
		return false
	}
	return p.r.entries(&at, "", n, g)
}

// Because names a faulty field with a specific reason.
func (p *Parts) Because(reason fault.Reason, path, format string, args ...any) {
	p.r.faults.Because(reason, path, format, args...)
}

// Add names a faulty field.
func (p *Parts) Add(path, format string, args ...any) { p.r.faults.Add(path, format, args...) }

// Err gives all faults, those found here before the solver's, or nil.
func (p *Parts) Err(solvers fault.List) error { return join(p.r.faults, solvers).Err() }

// PlanOf converts a plan.
func PlanOf(p *rip.Problem, items []Item, plan *rip.Plan) *ripwrightv1.Plan {
	j := Job{Problem: *p, Items: items}
	return j.plan(plan)
}
