// Package run keeps the books of a live line: what is made of each item, what boards
// under way will add, and the totals of the run.
//
// A plan reserves what it will make, so that the next board is planned against what is
// then still open. A confirmation commits the reservation, or what was really cut in its
// place, or releases it. Everything is counted in whole numbers of the units in which
// amounts are sent, so a run that is written, moved to another machine and read back
// there continues exactly where it was.
//
// The package has no clock and knows no messages. A Run is the whole state; it is written
// and read back as JSON.
package run

import (
	"cmp"
	"fmt"
	"slices"
	"sort"

	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Limits of what a run keeps.
const (
	MaxInFlight = published.MostLineSetUpBoardsInFlight // boards that wait for their confirmation
	MaxEntries  = 2_000                                 // items of all its orders
	MaxPacks    = 200                                   // distinct packs; the boards of further ones share one line
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
	// ReleaseAfter is the number of later boards that are cut before a waiting board is
	// released; 0: never. The caller sets it.
	ReleaseAfter int `json:"-"`

	Entries []Entry
	Held    []Held

	// Positions are those of fence and blades, the fence first, as far as known; empty if
	// the saw's own are in force. Boards under way will change them.
	Positions []unit.Length
	Known     Known `json:",omitzero"`

	// Past is what happened to the boards last settled or refused. Forgotten counts the
	// released boards that are no longer held.
	Past      Past
	Forgotten int32 `json:",omitempty"`
	// Doubted are the doubts about past boards, of the last ones with any.
	Doubted []Doubted `json:",omitempty"`

	Totals Totals
	// Since are the totals since the mark; nil: no mark was set.
	Since *Totals `json:",omitempty"`
	// Clock is what is known of the time; nil: nothing, and the line was never stopped.
	Clock *Clock `json:",omitempty"`

	// Drift watches the widths of strips with a known pocket; nil: there was none.
	Drift *drift.Watch `json:",omitempty"`
}

// Entry is the state of one item.
type Entry struct {
	Key
	Count order.Measure // never order.Unlimited
	Made  int64         // micrometres, square micrometres or pieces
	Cuts  []CutMade     // by crosscut length

	// How measured strips are counted.
	PieceLength unit.Length
	Joint       unit.Length
	Stack       string
	// Which strips the item takes.
	Takes Takes `json:",omitzero"`
	// Since is the message that restarted the item; boards before it were planned for
	// another item of that name. 0: none did.
	Since int32 `json:",omitempty"`
	// Free is its state without a limit of bays; nil: not kept.
	Free *Free `json:",omitempty"`
}

// Takes is which strips an item takes.
type Takes struct {
	Min, Max  unit.Length // Max 0: not known
	Tolerance unit.Length
	Least     unit.Length // of a run
	CutKerf   unit.Length // between crosscut pieces
}

// String gives the widths that it takes.
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

// reserved reports whether what a board's plan yields of the item is reserved.
func (e *Entry) reserved(h *Held) bool { return !h.Released && !e.before(h) }

// before reports whether a board was planned before the item was restarted.
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

// Take advances to the next message. It reports false if another was due.
func (r *Run) Take(sequence int32) bool {
	if sequence != r.Sequence+1 || sequence <= 0 {
		return false
	}
	r.Sequence = sequence
	return true
}
