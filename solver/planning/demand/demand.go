// Package demand says what an order still wants, one row for every amount to fill: of an
// item, or of one of its crosscut lengths.
//
// Planning weighs rows against each other by a value per metre, square metre or piece of
// each. Priced turns such values into items for the solver of one board, without limits,
// so that the worth of a plan is exactly the sum over the rows of value times the amount
// that the plan makes.
package demand

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Whole stands for the item itself in Row.Cut.
const Whole = -1

// Row is one amount to fill.
type Row struct {
	Item    int // index into the items
	Cut     int // index into the item's Cuts, or Whole
	Measure order.Measure
	// Open is the amount still wanted: micrometres, square micrometres or pieces.
	Open int64
	// Due is the number of boards within which it must be filled; 0: any number.
	Due int64
}

// Order is a cut order with its rows.
type Order struct {
	Items []order.Item
	Rows  []Row
}

// Limits of what is planned together: rows, and different dues.
const (
	MaxRows = 500
	MaxDues = 8
)

// New lists the rows of an order: every requirement that is not yet met. Items without
// one take no part in planning. The faults are about what cannot be planned; faults of
// the items themselves are left to rip.Problem.
func New(items []order.Item) (*Order, fault.List) {
	o := &Order{Items: items}
	o.list(func(open int64) bool { return open > 0 })
	l := o.faults()
	if len(o.Rows) == 0 && len(l) == 0 {
		l.Add("order.items", "want nothing; planning needs an item with a requirement that is not yet met")
	}
	return o, l
}

// Unplannable lists what of an order cannot be planned, whatever is already made.
func Unplannable(items []order.Item) fault.List {
	o := &Order{Items: items}
	o.list(func(int64) bool { return true })
	return o.faults()
}

// list fills in the rows of which enough is open.
func (o *Order) list(enough func(open int64) bool) {
	for i := range o.Items {
		it := &o.Items[i]
		for c := range it.Cuts {
			if open, limited := it.Cuts[c].Open(); limited && enough(open) {
				o.Rows = append(o.Rows, Row{Item: i, Cut: c, Measure: order.ByPieces, Open: open, Due: it.Due})
			}
		}
		if open, limited := it.Open(); limited && enough(open) {
			o.Rows = append(o.Rows, Row{Item: i, Cut: Whole, Measure: it.Measure, Open: open, Due: it.Due})
		}
	}
}

func (o *Order) faults() (l fault.List) {
	for k := range o.Rows {
		r := &o.Rows[k]
		if r.Cut != Whole {
			continue
		}
		it, path := &o.Items[r.Item], fmt.Sprintf("order.items[%d]", r.Item)
		switch {
		case len(it.Cuts) > 0:
			l.Add(path+".required", "is given along with crosscut.lengths; an order is planned by how many of each length are required")
		case it.Measure == order.ByArea && !it.Random:
			l.Add(path+".required", "counts the area of a fixed width; a fixed width is planned by length or pieces")
		case it.Measure == order.ByPieces && it.PieceLength > 0 && it.PieceLength < order.MinCut:
			l.Because(fault.OutOfRange, path+".piece_length_mm", "is %g; must be at least %g, or absent, to be planned", it.PieceLength.MM(), order.MinCut.MM())
		}
	}
	if n := len(o.Rows); n > MaxRows {
		l.Add("order.items", "want %d amounts; at most %d are planned together", n, MaxRows)
	}
	dues := map[int64]bool{}
	for k := range o.Rows {
		if d := o.Rows[k].Due; d > 0 {
			dues[d] = true
		}
	}
	if n := len(dues); n > MaxDues {
		l.Add("order.items", "have %d different due_boards; at most %d are planned together", n, MaxDues)
	}
	return l
}

// Faults lists what is wrong with a saw and the items of an order, by field, for any
// board.
func Faults(s *saw.Saw, items []order.Item) (l fault.List) {
	l.Within("saw", s.Faults())
	l.Within("order", order.Faults(items, s))
	return l
}

// Open gives what each row still wants.
func (o *Order) Open() []int64 {
	open := make([]int64, len(o.Rows))
	for i := range o.Rows {
		open[i] = o.Rows[i].Open
	}
	return open
}

// Units gives an amount of a row in metres, square metres or pieces.
func (r *Row) Units(amount int64) float64 {
	switch r.Measure {
	case order.ByLength:
		return float64(amount) / 1e6
	case order.ByArea:
		return float64(amount) / 1e12
	case order.ByPieces, order.Unlimited:
	}
	return float64(amount)
}

// Worth is the exact worth of an amount of a row at a value in millionths of money per
// metre, square metre or piece, in the unit of unit.Worth.
func (r *Row) Worth(value, amount int64) *big.Int {
	w := new(big.Int).Mul(big.NewInt(value), big.NewInt(amount))
	scale := int64(1e15) // pieces: 1e-6 money
	switch r.Measure {
	case order.ByLength: // 1e-6 money x 1e-6 m
		scale = 1e9
	case order.ByArea: // 1e-6 money x 1e-12 m2
		scale = 1e3
	case order.ByPieces, order.Unlimited:
	}
	return w.Mul(w, big.NewInt(scale))
}

// Made adds what a plan for the order's own items, or for priced ones, makes of
// each row. kept maps the plan's items to the order's; nil: they are the same.
func (o *Order) Made(plan *rip.Plan, kept []int, made []int64) {
	o.each(plan, kept, func(k int, amount int64) { made[k] += amount })
}

// Largest stores in most the largest amount of each row that one strip of a plan makes.
func (o *Order) Largest(plan *rip.Plan, kept []int, most []int64) {
	clear(most)
	o.each(plan, kept, func(k int, amount int64) { most[k] = max(most[k], amount) })
}

// Enough is what a plan makes of row k without the strips that are not needed to make
// what is open of it.
func (o *Order) Enough(plan *rip.Plan, kept []int, k int, open int64) (sum int64) {
	var strips []int64
	o.each(plan, kept, func(row int, amount int64) {
		if row == k {
			strips = append(strips, amount)
		}
	})
	slices.SortFunc(strips, func(a, b int64) int { return cmp.Compare(b, a) })
	for _, s := range strips {
		if sum >= open {
			break
		}
		sum += s
	}
	return sum
}

// each calls f with what each strip of a plan makes of the rows.
func (o *Order) each(plan *rip.Plan, kept []int, f func(k int, amount int64)) {
	for i := range plan.Pockets {
		p := &plan.Pockets[i]
		if p.Item == rip.None {
			continue
		}
		item := p.Item
		if kept != nil {
			item = kept[item]
		}
		for k := range o.Rows {
			if r := &o.Rows[k]; r.Item == item {
				f(k, o.amount(r, p))
			}
		}
	}
}

func (o *Order) amount(r *Row, p *rip.Pocket) int64 {
	if r.Cut != Whole {
		n := int64(0)
		for _, c := range p.Pieces {
			if c.Cut == r.Cut {
				n++
			}
		}
		return n
	}
	c := o.Items[r.Item].Counting()
	c.Measure = r.Measure
	n := p.AmountBy(c)
	if r.Measure == order.ByArea {
		n /= int64(unit.Micrometre)
	}
	return n
}
