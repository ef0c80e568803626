// Package bays chooses what lies in the bays of an outfeed, each of which takes one stack
// at a time: items for the same stack lie together, an item for none lies by itself.
//
// The choice is made between boards and moves as little as it can. A stack keeps its bay
// until it is filled and another waits. Those that wait come in a planned sequence where
// there is one (package planning/phases), else the one first of which
// most is open, by the area of strips: that is list scheduling by the longest time first,
// after which machines end nearly together (R. L. Graham, Bounds on Multiprocessing Timing
// Anomalies, SIAM Journal on Applied Mathematics 17, 1969: within 4/3 - 1/(3m) of the best
// on m machines; cited from memory). Here bays are the machines, and bays that end together
// leave no item behind that has to be cut alone. By worth in place of area, what comes as a
// by-product of others and is planned to be worth little would come last, and be cut alone:
// with four bays and planned values, invented orders took 13 % more lumber that way than
// without a limit, and 5 % by area (TestGain).
//
// A stack that is not filled gives way for two reasons only. Boards do not give it: so many
// in a row had no strip of it. Or the wood that was lost for want of another has come to
// what the change costs, and the change back: so all such changes together never cost more
// than was lost, as by the rule for whoever hires what could be bought.
//
// The package is arithmetic on whole numbers: the same boards have the same bays on every
// machine. Bays is all that there is to know; it is written down and read back as JSON.
package bays

import (
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Bounds on bays.
const (
	Most     = 64 // bays of an outfeed
	maxWaits = order.MaxItems
)

// Patience is how many boards in a row may give no strip of a stack before another gets
// its bay.
const Patience = 25

// Stack is what a bay takes.
type Stack struct {
	Name string `json:",omitempty"`
	// The item that goes to no stack but its own, where Name is empty.
	Order, Item string `json:",omitempty"`
}

// Of is the stack of an item of an order that goes to the stack of that name.
func Of(order, item, name string) Stack {
	if name != "" {
		return Stack{Name: name}
	}
	return Stack{Order: order, Item: item}
}

// Bay is one of the outfeed's. The zero Stack: it is empty.
type Bay struct {
	Stack  Stack
	Unused int32 `json:",omitempty"` // boards in a row without a strip of it
}

// Waits is what is known of a stack beside its bay.
type Waits struct {
	Stack  Stack
	Passed int32      `json:",omitempty"` // how often it gave its bay up since boards did not give it
	Lost   unit.Worth `json:",omitzero"`  // for want of it, since it last had a bay
}

// Bays is what lies in them.
type Bays struct {
	In    []Bay
	Waits []Waits `json:",omitempty"` // those of which anything is known
}

// New is so many bays, empty.
func New(count int) *Bays { return &Bays{In: make([]Bay, count)} }

// Find gives the bay of a stack, below 0 where it has none.
func (b *Bays) Find(s Stack) int {
	for i := range b.In {
		if b.In[i].Stack == s {
			return i
		}
	}
	return -1
}

// Cut takes a board into account that was planned with these bays: used reports whether
// the plan has a strip for a stack.
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

// Lose takes down what was lost for want of a stack of the order that has no bay.
func (b *Bays) Lose(s Stack, worth unit.Worth) {
	i := slices.IndexFunc(b.Waits, func(w Waits) bool { return w.Stack == s })
	if i < 0 {
		i, b.Waits = len(b.Waits), append(b.Waits, Waits{Stack: s})
	}
	b.Waits[i].Lost = b.Waits[i].Lost.Add(worth)
}

// Faults lists what cannot be of an outfeed with so many bays.
func (b *Bays) Faults(count int) (l fault.List) {
	seen := map[Stack]bool{}
	if len(b.In) != count || count > Most || len(b.Waits) > maxWaits {
		l.Add("in", "has not as many bays as there are")
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

// Want is how a stack stands of the order in force, and of the next one where the board
// serves both.
type Want struct {
	Stack Stack
	// Full says that nothing of it is open, Endless that it has an item without a
	// requirement, which never is.
	Full, Endless bool
	// Later says that only items of the next order are open: such a stack gets bays that no
	// other wants, and makes room for any that does.
	Later bool
	// Open is what of it is open, by the area of strips, in unit.Area.
	Open *big.Int
	// Turn is the place of the stack in a planned sequence, from 1; 0: none was planned.
	Turn int
	// Forced says that the operator wants an item of it from this board.
	Forced bool
}
