// Package outfeed works out, from what a line and the service say to each other,
// which strips come out of the saw now: in their order from the fence, each with
// its width and its stack. It shows nothing rather than something that may be
// wrong.
package outfeed

import ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"

// State is what there is to show.
type State string

// The states. Strips are shown in Shown alone.
const (
	NoLine   State = "no_line"   // no line is connected
	TwoLines State = "two_lines" // more than one is, and which one is meant cannot be told
	Waiting  State = "waiting"   // the line is connected, and no board has come
	Shown    State = "shown"     // a board comes out
	NotCut   State = "not_cut"   // the last board was not cut
	Unknown  State = "unknown"   // a board was cut of which no plan was seen
)

// View is what the stacker is to see.
type View struct {
	State   State
	BoardID string
	Strips  []Strip // from the fence outwards
	// As the plan has it, the board that comes next; it may still be cut otherwise.
	NextID string
	Next   []Strip
}

// Strip is one strip at the outfeed, or a piece of waste between two of them.
type Strip struct {
	ItemID  string
	WidthMM float64
	Stack   string // empty: none is known
	Waste   bool
	// The width that the order wants, in mm; 0: not known, or the item takes a range.
	OrderedMM float64
	// How full its stack is, from 0 to 1: how much is made of what the order wants on it,
	// confirmed strips alone, and whether that is known.
	Full      float64
	FullKnown bool
}

// ofPlan lists the strips of a plan. Waste is listed between strips only, where it
// would make the stacker count wrong; what falls beside them is edging.
func ofPlan(p *ripwrightv1.Plan) (all []Strip) {
	pockets := p.GetPockets()
	first, last := len(pockets), -1
	for i, k := range pockets {
		if k.GetItemId() != "" {
			first, last = min(first, i), i
		}
	}
	for i := first; i <= last; i++ {
		k := pockets[i]
		all = append(all, Strip{ItemID: k.GetItemId(), WidthMM: k.GetWidthMm(), Stack: k.GetStack(), Waste: k.GetItemId() == ""})
	}
	return all
}

// ofStrips lists strips as the line measured or cut them, in the order that it
// gave. A strip of no item is waste.
func ofStrips(strips []*ripwrightv1.CutStrip, stacks map[string]string) (all []Strip) {
	for _, s := range strips {
		one := Strip{ItemID: s.GetItemId(), WidthMM: s.GetWidthMm(), Stack: s.GetStack(), Waste: s.GetItemId() == "" && s.GetStack() == ""}
		if one.Stack == "" {
			one.Stack = stacks[one.ItemID]
		}
		all = append(all, one)
	}
	return all
}
