// Package bays chooses the contents of an outfeed's bays, each of which takes one stack
// at a time: items for the same stack lie together, an item without a stack lies by
// itself.
//
// The choice is made between boards and changes as little as it can. A stack keeps its
// bay until it is filled and another waits. Waiting stacks come in a planned sequence if
// there is one (package planning/phases), otherwise in falling order of their open area
// of strips. That is list scheduling by the longest time first, after which machines end
// nearly together (R. L. Graham, Bounds on Multiprocessing Timing Anomalies, SIAM Journal
// on Applied Mathematics 17, 1969: within 4/3 - 1/(3m) of the best on m machines; cited
// from memory). Bays are the machines here, and bays that end together leave no item to
// be cut alone. By worth in place of area, by-products with a low planned value would
// come last and be cut alone: with four bays and planned values, invented orders took
// 13 % more lumber that way than without a limit, and 5 % by area (TestGain).
//
// A stack that is not filled loses its bay for two reasons only. Either boards yield no
// strips for it: a number of them in a row had none. Or the wood lost for want of another
// stack has reached the cost of the change and of the change back. So all such changes
// together never cost more than the wood that was lost, as in the rent-or-buy rule.
//
// The package computes in whole numbers: the same boards have the same bays on every
// machine. Bays is the whole state; it is written and read back as JSON.
package bays

import (
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Limits of bays.
const (
	Most     = 64 // bays of an outfeed
	maxWaits = order.MaxItems
)

// Patience is how many boards in a row may yield no strip for a stack before another
// stack gets its bay.
const Patience = 25

// Stack is what one bay takes.
type Stack struct {
	Name string `json:",omitempty"`
	// The item that forms its own stack, if Name is empty.
	Order, Item string `json:",omitempty"`
}

// Of gives the stack of an order's item: the one of that name, or, if name is empty, the
// item's own.
func Of(order, item, name string) Stack {
	if name != "" {
		return Stack{Name: name}
	}
	return Stack{Order: order, Item: item}
}

// Bay is one bay of the outfeed. The zero Stack: it is empty.
type Bay struct {
	Stack  Stack
	Unused int32 `json:",omitempty"` // boards in a row without a strip of it
}

// Waits is what is known of a stack outside its bay.
type Waits struct {
	Stack  Stack
	Passed int32      `json:",omitempty"` // how often it lost its bay because boards yielded nothing for it
	Lost   unit.Worth `json:",omitzero"`  // for want of it since it last had a bay
}

// Bays are the bays of an outfeed and what is known of stacks.
type Bays struct {
	In    []Bay
	Waits []Waits `json:",omitempty"` // those of which something is known
}

// New gives a number of empty bays.
func New(count int) *Bays { return &Bays{In: make([]Bay, count)} }

// Find gives the index of the bay of a stack, or -1 if it has none.
func (b *Bays) Find(s Stack) int {
	for i := range b.In {
		if b.In[i].Stack == s {
			return i
		}
	}
	return -1
}

// Cut counts a board that was planned with these bays: used reports whether the plan has
// a strip for a stack.
func (b *Bays) Cut(used func(Stack) bool) {
	for i := range b.In {
		switch bay := &b.In[i]; {
		case bay.Stack == Stack{}:
		case used(bay.Stack):
			bay.Unused = 0
		default:
			bay.Unused = min(bay.Unused+1, Patience)
		}
	}
}

// Lose records a loss for want of a stack of the order that has no bay.
func (b *Bays) Lose(s Stack, worth unit.Worth) {
	i := slices.IndexFunc(b.Waits, func(w Waits) bool { return w.Stack == s })
	if i < 0 {
		i, b.Waits = len(b.Waits), append(b.Waits, Waits{Stack: s})
	}
	b.Waits[i].Lost = b.Waits[i].Lost.Add(worth)
}

// Faults lists what is invalid for an outfeed with count bays.
func (b *Bays) Faults(count int) (l fault.List) {
	seen := map[Stack]bool{}
	if len(b.In) != count || count > Most || len(b.Waits) > maxWaits {
		l.Add("in", "has a different number of bays than the outfeed")
	}
	for i := range b.In {
		bay := &b.In[i]
		if bay.Unused < 0 || bay.Unused > Patience || seen[bay.Stack] {
			l.Add("in", "is out of bounds")
		}
		if bay.Stack != (Stack{}) {
			seen[bay.Stack] = true
		}
	}
	for i := range b.Waits {
		if w := &b.Waits[i]; w.Passed < 0 || w.Lost.Cmp(unit.Worth{}) < 0 || seen[w.Stack] {
			l.Add("waits", "is out of bounds")
		}
		seen[b.Waits[i].Stack] = true
	}
	return l
}

// Want is the state of a stack in the order in force, or in the next one if the board
// serves both.
type Want struct {
	Stack Stack
	// Full says that nothing of it is open, Endless that it has an item without a
	// requirement, so that it never is full.
	Full, Endless bool
	// Later says that only items of the next order are open: such a stack gets only bays
	// that no other stack wants, and gives its bay to any that does.
	Later bool
	// Open is the area of its open strips, in unit.Area.
	Open *big.Int
	// Turn is the place of the stack in a planned sequence, from 1; 0: there is no plan.
	Turn int
	// Forced says that the operator forces an item of it on this board.
	Forced bool
}
