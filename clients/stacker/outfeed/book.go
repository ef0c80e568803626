package outfeed

import (
	"crypto/sha256"
	"maps"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// When says which board comes out.
type When string

// A line confirms a board once it is cut, or only when its strips are stacked.
const (
	AtConfirmation     When = "confirmed" // the board confirmed last
	BeforeConfirmation When = "planned"   // the board that has waited longest for its confirmation
)

// Limits on what is remembered of a line that breaks the protocol.
const (
	mostPending = 4096
	mostStates  = 1024
)

// Book remembers what it needs of a run. It is not safe for concurrent use.
//
//  1. plans holds exactly the plans that were seen and whose confirmation has not been
//     counted.
//  2. What is shown belongs to the run whose answers are in states: after a resume from
//     a state that is not among them nothing from before is shown.
type Book struct {
	when  When
	lines int // open streams

	plans  map[int32]*planned
	asked  map[int32]*ripwrightv1.RunLineRequest // without an answer so far, boards left out
	stacks map[string]string                     // by item, of the order in force; empty: not known
	states map[[sha256.Size]byte]int             // the order, numbered from 1, in force in a state
	orders int                                   // number answered
	widths map[string]float64                    // ordered, by item of the order in force, in mm; for the same items as stacks
	made   map[string]part                       // how much of an item is made, of what is wanted
	order  string                                // the order in force, by the name in answers

	out *View // the board confirmed last; nil: none
}

type planned struct {
	plan   *ripwrightv1.LinePlan
	stacks map[string]string
}

// New makes an empty book.
func New(when When) *Book {
	b := &Book{when: when}
	b.forget()
	return b
}

func (b *Book) forget() {
	b.plans, b.asked = map[int32]*planned{}, map[int32]*ripwrightv1.RunLineRequest{}
	b.stacks, b.states, b.out = map[string]string{}, map[[sha256.Size]byte]int{}, nil
	b.widths, b.made, b.order = map[string]float64{}, map[string]part{}, ""
	b.orders = 0
}

// Opened and Closed report the line's streams.
func (b *Book) Opened() { b.lines++ }

// Closed forgets what was not answered: after a resume it is sent again. The board that
// came out is not shown again either.
func (b *Book) Closed() {
	b.lines--
	b.asked = map[int32]*ripwrightv1.RunLineRequest{}
	b.out = nil
}

// Sent takes a message of the line, before it is passed on.
func (b *Book) Sent(m *ripwrightv1.RunLineRequest) {
	switch {
	case m.GetSetUp() != nil:
		b.forget()
	case m.GetResume() != nil:
		order, known := b.states[sha256.Sum256(m.GetResume().GetState())]
		if !known {
			b.forget()
		}
		if order != b.orders { // the order will be sent again, and another was in force before it
			b.stacks, b.widths, b.made = map[string]string{}, map[string]float64{}, map[string]part{}
		}
		return
	case m.GetBoard() != nil:
		return
	}
	if len(b.asked) == mostPending {
		b.forget() // only a line that breaks the protocol gets here
	}
	b.asked[m.GetSequence()] = m
}

// Answered takes an answer to the line, and reports whether it changes what is shown.
func (b *Book) Answered(a *ripwrightv1.RunLineResponse) bool {
	m := b.asked[a.GetSequence()]
	delete(b.asked, a.GetSequence())
	defer b.remember(a.GetState())
	defer b.fill(a)
	if a.GetOrderId() != b.order { // items of another order may have the same names
		b.order, b.widths, b.made = a.GetOrderId(), map[string]float64{}, map[string]part{}
	}
	switch {
	case a.GetStarted() != nil:
		b.ready(a.GetStarted().GetReady(), m.GetSetUp().GetOrder())
	case a.GetResumed() != nil:
		b.keep(a.GetResumed().GetReady())
	case a.GetOrderChanged() != nil:
		b.ready(a.GetOrderChanged().GetReady(), m.GetOrderChange().GetOrder())
	case a.GetSawChanged() != nil:
		b.keep(a.GetSawChanged().GetReady())
	case a.GetPlan() != nil:
		b.plans[a.GetSequence()] = &planned{a.GetPlan(), maps.Clone(b.stacks)}
	case a.GetSettled().GetResult() == ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED:
		b.settled(m.GetConfirmation(), a.GetSettled().GetBoardSequence())
	case a.GetSummary() != nil:
		b.forget()
	default:
		return false
	}
	return true
}

func (b *Book) remember(state []byte) {
	if len(b.states) == mostStates {
		b.states = map[[sha256.Size]byte]int{}
	}
	b.states[sha256.Sum256(state)] = b.orders
}

// ready records an order.
func (b *Book) ready(r *ripwrightv1.LineReady, o *ripwrightv1.CutOrder) {
	b.orders++
	b.stacks, b.widths, b.made = map[string]string{}, map[string]float64{}, map[string]part{}
	for _, it := range o.GetItems() {
		b.stacks[it.GetItemId()] = it.GetStack()
		b.widths[it.GetItemId()] = it.GetWidthMm()
	}
	b.keep(r)
}

// keep drops plans that no longer wait.
func (b *Book) keep(r *ripwrightv1.LineReady) {
	for n := range b.plans {
		waits := func(u *ripwrightv1.UnconfirmedBoard) bool { return u.GetBoardSequence() == n }
		if !slices.ContainsFunc(r.GetUnconfirmed(), waits) {
			delete(b.plans, n)
		}
	}
}

func (b *Book) settled(c *ripwrightv1.CutConfirmation, sequence int32) {
	p := b.plans[sequence]
	delete(b.plans, sequence)
	b.out = &View{State: Unknown}
	if p == nil || c == nil || c.GetBoardSequence() != sequence {
		return
	}
	b.out.BoardID = p.plan.GetBoardId()
	switch c.GetOutcome() {
	case ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED:
		b.out.State, b.out.Strips = Shown, ofPlan(p.plan.GetPlan())
	case ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP:
		if i := int(c.GetRunnerUp()); i < len(p.plan.GetRunnersUp()) {
			b.out.State, b.out.Strips = Shown, ofPlan(p.plan.GetRunnersUp()[i])
		}
	case ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED, ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE:
		b.out.State, b.out.Strips = Shown, ofStrips(c.GetStrips(), p.stacks)
	case ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT, ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK,
		ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE:
		b.out.State = NotCut
	case ripwrightv1.CutOutcome_CUT_OUTCOME_UNSPECIFIED: // not known
	}
}

// View gives what is to be seen now.
func (b *Book) View() View {
	switch {
	case b.lines == 0:
		return View{State: NoLine}
	case b.lines > 1:
		return View{State: TwoLines}
	}
	v := b.view()
	v.Strips, v.Next = b.fitted(v.Strips), b.fitted(v.Next)
	return v
}

func (b *Book) view() View {
	waiting := slices.Sorted(maps.Keys(b.plans))
	v := View{State: Waiting}
	if b.when == BeforeConfirmation {
		if len(waiting) > 0 {
			p := b.plans[waiting[0]].plan
			v, waiting = View{State: Shown, BoardID: p.GetBoardId(), Strips: ofPlan(p.GetPlan())}, waiting[1:]
		}
	} else if b.out != nil {
		v = *b.out
	}
	if len(waiting) > 0 {
		p := b.plans[waiting[0]].plan
		v.NextID, v.Next = p.GetBoardId(), ofPlan(p.GetPlan())
	}
	return v
}
