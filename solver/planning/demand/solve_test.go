package demand_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// The worth of a board is found as before; which of the equally valuable ways comes first
// is left open if that takes long, above all if the worth is 0.
func TestSolve(t *testing.T) {
	moving := saw.Blade{Moving: true, Travel: saw.Travel{Max: 900 * mm}}
	p := rip.Problem{
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm / 10, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm, Fence: saw.Travel{Max: 250 * mm},
			Blades: []saw.Blade{{At: 120 * mm}, {At: 174 * mm}, moving, moving}},
		Items: []order.Item{{ID: "a", Min: 320 * mm, Max: 320 * mm, Value: 1_000_000}},
	}
	for _, width := range []unit.Length{190, 360} {
		p.Board = wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: width * mm}, {X: 2400 * mm, Near: 3 * mm, Far: width * mm}}}
		want, err := rip.Solve(&p, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := demand.Solve(&p, rip.Options{})
		if err != nil || got.Best.Worth != want.Best.Worth || got.Bound != want.Bound {
			t.Errorf("%d mm: worth %v, bound %v, want %v: %v", width, got.Best.Worth, got.Bound, want.Bound, err)
		}
		if want.Best.Worth.IsZero() && got.Work >= want.Work {
			t.Errorf("%d steps for nothing, %d to prove which nothing", got.Work, want.Work)
		}
	}
}
