package run

import (
	"cmp"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Strip is one strip that a plan makes or that came out of the saw.
type Strip struct {
	// Order is the order of the item; empty: the one that its board was planned for.
	Order  string `json:",omitempty"`
	Item   string // empty: none of the order's
	Stack  string
	Width  unit.Length
	Length unit.Run  // of all its runs
	Amount int64     // towards the item, areas in unit.Area
	Cuts   []CutMade `json:",omitempty"`
	From   From      `json:",omitzero"` // of a plan's strip
}

// From is where on the saw a plan's strip is sawn; not known for boards that an earlier
// release planned.
type From struct {
	Pocket int // of the plan, from 1; 0: not known
	// Near and Far are the blades that bound it, as in drift.Chart.
	Near, Far int
}

// Area of the strip: real width times length.
func (s *Strip) Area() unit.Area { return unit.Area(int64(s.Width) * int64(s.Length)) }

// Way is one way to cut a board: its plan, or a runner-up.
type Way struct {
	Strips    []Strip
	Parts     Parts
	Positions []unit.Length // the fence first, then the blades
	Cycle     time.Duration // 0: not known
	Blades    []BladeUse    // by blade
}

// BladeUse is what a blade does for a board: how far it moves and how much wood it cuts.
type BladeUse struct {
	Travel unit.Length
	Cut    unit.Run
}

// Parts of a board's face, which they add up to.
type Parts struct {
	Strip, EndTrim, Offcut, Edging, Kerf unit.Area
	// Other is the loss of a board of which only the strips are known.
	Other unit.Area
}

// Held is a board that waits for its confirmation. Ways[0] is its plan, which is what it
// reserves; its runners-up follow.
type Held struct {
	Sequence  int32
	Board     string // the caller's name for it
	Order     string
	Pack      string
	Thickness unit.Length
	Face      unit.Area
	// For metrics: the saw, and its words for the last change of blades.
	Saw           string
	BladesChanged string `json:",omitempty"`
	Size          Size   `json:",omitzero"`
	// Passed is how many boards after it were cut. Released: it is taken as not cut, so
	// it reserves nothing, but can still be confirmed.
	Passed   int  `json:",omitempty"`
	Released bool `json:",omitempty"`
	// Changes is how many bays of the outfeed got another stack before the board, with
	// the time that this takes.
	Changes  int32         `json:",omitempty"`
	Changing time.Duration `json:",omitempty"`
	Ways     []Way
	// Free is what it would have yielded without a limit of bays; nil: not kept, or its
	// order was filled without it.
	Free *FreePlan `json:",omitempty"`
}

// key is the item that a strip of the board counts for.
func (h *Held) key(s *Strip) Key { return h.item(s.Order, s.Item) }

// item is an item of an order; of the board's own if order is empty.
func (h *Held) item(order, item string) Key {
	if order == "" {
		order = h.Order
	}
	return Key{order, item}
}

// sumOf adds up what a board's strips count for an item: in the unit of its Made, rounded
// down once, so that rounding completes no item.
func (h *Held) sumOf(strips []Strip, e *Entry) int64 {
	var sum int64
	for i := range strips {
		if h.key(&strips[i]) == e.Key {
			sum += strips[i].Amount
		}
	}
	if e.Count == order.ByArea {
		sum /= int64(unit.Micrometre)
	}
	return sum
}

// cutsOf adds up the pieces of one crosscut length.
func (h *Held) cutsOf(strips []Strip, k Key, length unit.Length) (n int64) {
	for i := range strips {
		if h.key(&strips[i]) != k {
			continue
		}
		for _, c := range strips[i].Cuts {
			if c.Length == length {
				n += c.Made
			}
		}
	}
	return n
}

// Reserved is what the boards under way will add to an item.
func (r *Run) Reserved(k Key) (amount int64) {
	e := r.find(k)
	for i := range r.Held {
		if h := &r.Held[i]; e != nil && e.reserved(h) {
			amount += h.sumOf(h.Ways[0].Strips, e)
		}
	}
	return amount
}

// ReservedCuts is what they will add to one of its crosscut lengths.
func (r *Run) ReservedCuts(k Key, length unit.Length) (n int64) {
	e := r.find(k)
	for i := range r.Held {
		if h := &r.Held[i]; e != nil && e.reserved(h) {
			n += h.cutsOf(h.Ways[0].Strips, k, length)
		}
	}
	return n
}

// Made is what is confirmed of an item and of one of its crosscut lengths.
func (r *Run) Made(k Key) int64 {
	if e := r.find(k); e != nil {
		return e.Made
	}
	return 0
}

// MadeCuts is what is confirmed of one of its crosscut lengths.
func (r *Run) MadeCuts(k Key, length unit.Length) int64 {
	if e := r.find(k); e != nil {
		if i, ok := e.cut(length); ok {
			return e.Cuts[i].Made
		}
	}
	return 0
}

func (e *Entry) cut(length unit.Length) (int, bool) {
	return slices.BinarySearchFunc(e.Cuts, length, func(c CutMade, l unit.Length) int { return cmp.Compare(c.Length, l) })
}

// Amount is what a strip of a width with these runs counts towards an item by its way of
// counting, areas in unit.Area.
func (e *Entry) Amount(width unit.Length, runs []unit.Run) int64 {
	return order.Counting{Measure: e.Count, PieceLength: e.PieceLength, Joint: e.Joint}.Strip(width, runs...)
}
