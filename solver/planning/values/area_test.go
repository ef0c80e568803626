package values_test

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// Worked by hand: a board of 1 m by 100 mm, set 50 mm to the metre askew, gives a strip of
// 60 mm from each of its corners, one up to 0.4 m from its end and one from 0.8 m on. Any
// run makes a strip a piece, so ten take five boards, less than six by their area were
// they as long as the board.
func TestAreaOfSkewedBoards(t *testing.T) {
	p := &values.Problem{Saw: knife(), Items: []order.Item{pieces(60, 10)}, Objective: values.Boards, Lost: values.Everything}
	p.Saw = saw.Saw{Step: mm, Gap: mm, LeastStrip: mm, Skew: 50 * mm, Fence: saw.Travel{Max: 300 * mm}}
	for range 3 {
		p.Saw.Blades = append(p.Saw.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: 600 * mm}})
	}
	p.Lots = []values.Lot{{ID: "a", Kinds: []lumber.Kind{{Board: wood.Board{Length: 1000 * mm, Stations: []wood.Station{{Far: 100 * mm}}}, Count: 1}}}}
	if got := plan(t, p, values.Options{}); math.Abs(got.Cost-5) > 1e-9 {
		t.Errorf("%v boards, bound %v; want 5", got.Cost, got.Bound)
	}
}
