// Package outfeed works out, from the messages between a line and the service, which
// strips come out of the saw now: in their order from the fence, each with its width and
// its stack. It shows nothing rather than something that may be wrong.
package outfeed

import ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"

// State says what there is to show.
type State string

// The states. Only Shown has strips.
const (
	NoLine   State = "no_line"   // no line is connected
	TwoLines State = "two_lines" // more than one is, and which one is meant is not known
	Waiting  State = "waiting"   // the line is connected, but no board has come
	Shown    State = "shown"     // a board comes out
	NotCut   State = "not_cut"   // the last board was not cut
	Unknown  State = "unknown"   // a board was cut whose plan was not seen
)

// View is what the stacker is to see.
type View struct {
	State   State
	BoardID string
	Strips  []Strip // from the fence outwards
	// The next board, by its plan; it may still be cut otherwise.
	NextID string
	Next   []Strip
}

// Strip is one strip at the outfeed, or a piece of waste between two strips.
type Strip struct {
	ItemID  string
	WidthMM float64
	Stack   string // empty: not known
	Waste   bool
	// The width that the order wants, in mm; 0: not known, or the item takes a range.
	OrderedMM float64
	// How full its stack is, from 0 to 1: how much is made of what the order wants on it,
	// counting only confirmed strips; and whether that is known.
	Full      float64
	FullKnown bool
}

// ofPlan lists the strips of a plan. Waste is listed only between strips, where the
// stacker would count it; outside them it is edging.
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

// ofStrips lists strips as the line measured or cut them, in the given order. A strip of
// no item is waste.
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
