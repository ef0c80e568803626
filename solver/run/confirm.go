package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Outcome is what happened to a board.
type Outcome int

// The outcomes.
const (
	AsPlanned Outcome = iota
	AsMeasured
	NotCut
	RunnerUp
	SomethingElse
	SentBack
	SetAside
	Outcomes int = iota // how many there are
)

// Cut reports whether the board was cut at all.
func (o Outcome) Cut() bool { return o != NotCut && o != SentBack && o != SetAside }

// Measured reports whether the outcome comes with its own strips.
func (o Outcome) Measured() bool { return o == AsMeasured || o == SomethingElse }

// Confirmation says what happened to a board.
type Confirmation struct {
	Sequence int32 // of the board
	Outcome  Outcome
	RunnerUp int        // RunnerUp only
	Strips   []Measured // Measured outcomes only
	// Board is the board's own name; empty: not given.
	Board string `json:",omitempty"`
	// Stands are the positions of fence and blades, as measured, the fence first; nil:
	// not measured.
	Stands []unit.Length `json:"-"` // not compared between confirmations
	// Against are the thresholds for the strips; nil: they are not checked.
	Against *Thresholds `json:"-"`
}

// Measured is a strip as it came out of the saw.
type Measured struct {
	Order string `json:",omitempty"` // see Strip
	Item  string
	Stack string // empty: the item's
	Width unit.Length
	Runs  []unit.Run
	Cuts  []CutMade
	// Pocket of the plan that it was sawn in, from 1; 0: not given.
	Pocket int `json:",omitempty"`
}

// Settled is the result of a confirmation.
type Settled struct {
	Held    Held
	Outcome Outcome
	Way     Way // what was cut; empty if the board was not
	Doubts  []Doubt
	// Widths are planned and measured widths of strips whose pocket is known, and Turns
	// the pockets whose drift began or ended with them.
	Widths []drift.Strip
	Turns  []drift.Turn
	// Released are the boards whose reservation ended with this confirmation.
	Released []Held
}

// Reserve holds a planned board until it is confirmed. Its sequence is that of the last
// message. It does nothing and reports false if the limit of held boards is reached.
func (r *Run) Reserve(h Held) bool {
	if r.Waiting() >= r.InFlight {
		return false
	}
	h.Sequence = r.Sequence
	r.Held = append(r.Held, h)
	for _, t := range r.sums() {
		t.Planned++
	}
	return true
}

// Confirm settles a board. If no board of that sequence is held, it counts nothing and
// gives nil and a verdict that says why. Paths of faults begin with the fields of a
// confirmation.
func (r *Run) Confirm(c Confirmation) (*Settled, Verdict, fault.List) {
	i, ok := r.held(c.Sequence)
	if !ok {
		var l fault.List
		if c.Sequence > r.Sequence {
			l.Because(fault.WrongTurn, "board_sequence", "is %d, which has not been sent yet", c.Sequence)
		}
		return nil, r.verdict(c), l
	}
	h := &r.Held[i]
	s := &Settled{Held: *h, Outcome: c.Outcome}
	var l fault.List
	switch {
	case c.Board != "" && c.Board != h.Board:
		l.Because(fault.WrongTurn, "board_id", "is %q; message %d brought the board %q", c.Board, c.Sequence, h.Board)
	case c.Outcome == RunnerUp && c.RunnerUp >= len(h.Ways)-1:
		l.Add("runner_up", "is %d; the plan has %d runners-up, counted from 0", c.RunnerUp, len(h.Ways)-1)
	case c.Outcome == RunnerUp:
		s.Way = h.Ways[c.RunnerUp+1]
	case c.Outcome == AsPlanned:
		s.Way = h.Ways[0]
	case c.Outcome.Measured():
		s.Way, s.Doubts, l = r.measured(h, &c)
	}
	if len(l) > 0 {
		return nil, Counted, l
	}
	if c.Outcome.Cut() {
		r.commit(h, s.Way.Strips)
		r.commitFree(h, s.Way.Strips)
	}
	r.left(h, &c, &s.Way)
	r.watch(h, &c, s)
	for _, t := range r.sums() {
		t.add(s)
	}
	r.Held = slices.Delete(r.Held, i, i+1)
	r.Past.add(fate{c.Sequence, c.content()})
	r.doubted(c.Sequence, s.Doubts)
	if c.Outcome.Cut() {
		s.Released = r.overtaken(c.Sequence)
	}
	return s, Counted, nil
}

// measured turns measured strips into a way to cut the board.
func (r *Run) measured(h *Held, c *Confirmation) (w Way, doubts []Doubt, l fault.List) {
	for i := range c.Strips {
		m := &c.Strips[i]
		e := r.find(h.item(h.orderOf(m), m.Item))
		s, faults := m.strip(e, h, c.Outcome == SomethingElse)
		if e == nil && m.Order != "" && m.Order != h.Order && !r.has(m.Order) {
			faults = nil
			faults.Because(fault.UnknownName, "order_id", "is %q, which is not an order of the board", m.Order)
		}
		if m.Pocket > 0 {
			h.pocketFaults(&faults, c, i)
		}
		l.Within(path("strips", i), faults)
		w.Strips = append(w.Strips, s)
	}
	w.Parts, w.Cycle = rest(w.Strips, h.Face), h.Ways[0].Cycle
	if w.Parts.Other < 0 {
		l.Add("strips", "have %g m2, more than the board's face of %g m2",
			w.Parts.Strip.SquareMetres(), h.Face.SquareMetres())
	}
	doubts, impossible := r.weigh(h, c)
	return w, doubts, append(l, impossible...)
}

// rest accounts for a face of which only the strips are known. Other is below 0 if they
// are larger than the face.
func rest(strips []Strip, face unit.Area) (p Parts) {
	for i := range strips {
		p.Strip += strips[i].Area()
	}
	p.Other = face - p.Strip
	return p
}

// strip counts a measured strip of a board for entry e; nil: there is none.
func (m *Measured) strip(e *Entry, h *Held, anything bool) (s Strip, l fault.List) {
	s = Strip{Order: h.orderOf(m), Item: m.Item, Stack: m.Stack, Width: m.Width, Cuts: m.Cuts}
	for _, r := range m.Runs {
		s.Length += r
	}
	switch {
	case e == nil && m.Item == "" && m.Order == "" && anything:
		if len(m.Cuts) > 0 {
			l.Add("pieces", "are given for a strip without an item")
		}
		return s, l
	case e == nil && m.Order != "" && m.Order != h.Order:
		l.Because(fault.UnknownName, "item_id", "is %q, which the order %q does not have", m.Item, m.Order)
		return s, l
	case e == nil:
		l.Because(fault.UnknownName, "item_id", "is %q, which the board's order does not have", m.Item)
		return s, l
	}
	if s.Stack == "" {
		s.Stack = e.Stack
	}
	if e.before(h) { // what it was cut to is not known any more
		return s, l
	}
	s.Amount = e.Amount(m.Width, m.Runs)
	for i, c := range m.Cuts {
		if _, ok := e.cut(c.Length); !ok {
			l.Because(fault.UnknownName, path("pieces", i)+".length_mm", "is %g, which is not one of the item's crosscut lengths", c.Length.MM())
		}
	}
	return s, l
}

// commit adds strips to what is made.
func (r *Run) commit(h *Held, strips []Strip) {
	for i := range strips {
		if !h.firstOf(strips, i) || strips[i].Item == "" {
			continue
		}
		if e := r.find(h.key(&strips[i])); !e.before(h) {
			e.add(h, strips)
		}
	}
}

// firstOf reports whether no strip before has the same item.
func (h *Held) firstOf(strips []Strip, i int) bool {
	return !slices.ContainsFunc(strips[:i], func(s Strip) bool { return h.key(&s) == h.key(&strips[i]) })
}

func (e *Entry) add(h *Held, strips []Strip) {
	e.Made = min(e.Made+h.sumOf(strips, e), order.MaxAmount)
	for i := range e.Cuts {
		e.Cuts[i].Made = min(e.Cuts[i].Made+h.cutsOf(strips, e.Key, e.Cuts[i].Length), order.MaxPieces)
	}
}
