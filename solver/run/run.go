// Package run keeps the books of a live line: what is made of each item, what
// boards under way will add, and what a whole run came to.
//
// A plan reserves what it will make, so that the next board is planned against
// what is then still open. A confirmation commits the reservation, or what was
// really cut in its place, or releases it. Everything is counted in whole numbers
// of the units that amounts are sent in, so a run that is written down, carried
// to another machine and taken up there goes on exactly where it was.
//
// The package knows no clock and no messages. A Run holds all there is to know;
// it is written down and read back as JSON.
package run

import (
	"cmp"
	"fmt"
	"slices"
	"sort"

	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Bounds on what a run keeps.
const (
	MaxInFlight = 64    // boards that wait for their confirmation
	MaxEntries  = 2_000 // items of all its orders
	MaxPacks    = 200   // packs told apart; the boards of more share one line
	OtherPacks  = "(other packs)"
)

// Key names an item of an order.
type Key struct{ Order, Item string }

func (k Key) compare(l Key) int {
	return cmp.Or(cmp.Compare(k.Order, l.Order), cmp.Compare(k.Item, l.Item))
}

// Run is the state of a run between two messages.
//
// Invariants, checked by Faults:
//  1. Entries are sorted by key, each key once; amounts are not negative.
//  2. Held is sorted by sequence, none beyond Sequence; at most InFlight are under way and
//     at most InFlight released.
//  3. Every strip of a held board names an entry.
//  4. No board of the past came after the last message.
type Run struct {
	Sequence int32  // of the last message taken
	Order    string // the order that boards are planned for
	InFlight int    // how many boards may be under way
	// ReleaseAfter is by how many boards that are cut one that waits is passed until it is
	// released; 0: never. It is the caller's to set.
	ReleaseAfter int `json:"-"`

	Entries []Entry
	Held    []Held

	// Positions are where fence and blades stand, the fence first, as far as it is
	// known; empty where the saw's own are in force. Boards under way will move them.
	Positions []unit.Length
	Known     Known `json:",omitzero"`

	// Past is what became of the boards last settled or refused. Forgotten counts the
	// released boards that are held no more.
	Past      Past
	Forgotten int32 `json:",omitempty"`
	// Doubted are the doubts about boards of the past, of the last ones that had any.
	Doubted []Doubted `json:",omitempty"`

	Totals Totals
	// Since is what the run came to since its mark; nil: none was set.
	Since *Totals `json:",omitempty"`
	// Clock is what is known of the time; nil: nothing, and the line never stood.
	Clock *Clock `json:",omitempty"`

	// Drift watches the widths of strips that name their pocket; nil: none did.
	Drift *drift.Watch `json:",omitempty"`
}

// Entry is how one item stands.
type Entry struct {
	Key
	Count order.Measure // never order.Unlimited
	Made  int64         // micrometres, square micrometres or pieces
	Cuts  []CutMade     // by crosscut length

	// What a measured strip is counted by.
	PieceLength unit.Length
	Joint       unit.Length
	Stack       string
	// What it is held against.
	Takes Takes `json:",omitzero"`
	// Since is the message that the item began anew with; boards before it were planned
	// for another item of the name. 0: it did not.
	Since int32 `json:",omitempty"`
	// Free is how it would stand without a limit of bays; nil: nobody keeps that.
	Free *Free `json:",omitempty"`
}

// Takes is which strips an item takes.
type Takes struct {
	Min, Max  unit.Length // Max 0: not known
	Tolerance unit.Length
	Least     unit.Length // of a run
	CutKerf   unit.Length // between crosscut pieces
}

// String says which widths it takes.
func (t *Takes) String() string {
	if t.Min == t.Max && t.Tolerance > 0 {
		return fmt.Sprintf("%s, give or take %g mm", t.width(), t.Tolerance.MM())
	}
	return t.width()
}

func (t *Takes) width() string {
	if t.Min == t.Max {
		return fmt.Sprintf("%g mm", t.Min.MM())
	}
	return fmt.Sprintf("%g to %g mm", t.Min.MM(), t.Max.MM())
}

// reserved reports whether what a board's plan has of the item is reserved.
func (e *Entry) reserved(h *Held) bool { return !h.Released && !e.before(h) }

// before reports whether a board was planned before the item began anew.
func (e *Entry) before(h *Held) bool { return h.Sequence < e.Since }

// CutMade is how many pieces of a crosscut length are made.
type CutMade struct {
	Length unit.Length
	Made   int64
}

// find gives the entry of a key, or nil.
func (r *Run) find(k Key) *Entry {
	i := sort.Search(len(r.Entries), func(i int) bool { return r.Entries[i].compare(k) >= 0 }) // no entry is copied
	if i == len(r.Entries) || r.Entries[i].Key != k {
		return nil
	}
	return &r.Entries[i]
}

func (r *Run) held(sequence int32) (int, bool) {
	return slices.BinarySearchFunc(r.Held, sequence, func(h Held, s int32) int { return cmp.Compare(h.Sequence, s) })
}

// Take advances to the next message. It reports false where another was due.
func (r *Run) Take(sequence int32) bool {
	if sequence != r.Sequence+1 || sequence <= 0 {
		return false
	}
	r.Sequence = sequence
	return true
}
