package audit_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// A plan is audited, and a claim that does not hold is reported.
func ExampleResult() {
	const mm = unit.Millimetre
	p := &rip.Problem{
		Board: wood.Board{Length: 2000 * mm, Stations: []wood.Station{{Far: 150 * mm}}},
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm,
			Fence: saw.Travel{Max: 100 * mm}, Blades: []saw.Blade{{At: 100 * mm}, {At: 164 * mm}}},
		Items: []order.Item{{ID: "slat", Min: 60 * mm, Max: 60 * mm, Value: 8_000_000}},
	}
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(audit.Result(p, audit.Terms{}, r)), "differences")
	r.Best.Pockets[0].Counted += 1000 // a millimetre that is not there
	for _, d := range audit.Result(p, audit.Terms{}, r) {
		fmt.Println("plan", d.Plan, d.Kind)
	}
	// Output:
	// 0 differences
	// plan 0 runs
	// plan 0 worth
	// plan 0 measures
	// plan 0 account
}
