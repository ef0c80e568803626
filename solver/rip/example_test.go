package rip_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// drawers is a tapering board of maple on a saw with two fixed blades and one that moves,
// for drawer sides and backs.
func drawers() *rip.Problem {
	const mm = unit.Millimetre
	return &rip.Problem{
		Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{
			{X: 0, Near: 0, Far: 238 * mm},
			{X: 2400 * mm, Near: 6 * mm, Far: 226 * mm},
		}},
		Saw: saw.Saw{
			Kerf: 4 * mm, Step: mm / 10, Gap: 25 * mm, LeastStrip: 25 * mm, Trim: 3 * mm,
			Fence: saw.Travel{Max: 150 * mm, Current: 60 * mm},
			Blades: []saw.Blade{
				{At: 100 * mm},
				{At: 199 * mm},
				{Moving: true, Travel: saw.Travel{Min: 225 * mm, Max: 450 * mm, Current: 300 * mm}},
			},
		},
		Items: []order.Item{
			{ID: "side", Min: 95 * mm, Max: 95 * mm, Value: 12_000_000, LeastLength: 500 * mm},
			{ID: "back", Min: 80 * mm, Max: 80 * mm, Value: 10_000_000, LeastLength: 500 * mm},
		},
	}
}

// The best setting of the saw for a board, with its proof.
func ExampleSolve() {
	p := drawers()
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("fence at %v mm, moving blade at %v mm\n", r.Best.Fence.MM(), r.Best.Blades[2].MM())
	for _, k := range r.Best.Pockets {
		if k.Item != rip.None {
			fmt.Printf("%s: %v mm wide, %v m\n", p.Items[k.Item].ID, k.Width().MM(), k.Counted.Metres())
		}
	}
	fmt.Printf("worth %.4f of %.4f at most, proven: %v\n", r.Best.Worth.Money(), r.Bound.Money(), r.Proven)
	// Output:
	// fence at 75 mm, moving blade at 298 mm
	// side: 95 mm wide, 2.4 m
	// side: 95 mm wide, 2.4 m
	// worth 5.4720 of 5.4720 at most, proven: true
}

// The worth of a setting that the operator has chosen, and which of the saw's rules it
// breaks.
func ExampleCheck() {
	const mm = unit.Millimetre
	p := drawers()
	c, err := rip.Check(p, 0, 90*mm, []unit.Length{100 * mm, 199 * mm, 210 * mm}, rip.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("worth %.4f\n", c.Plan.Worth.Money())
	for _, b := range c.Broken {
		fmt.Println(b.Path, b.Says)
	}
	// Output:
	// worth 2.7360
	// blades_mm[2] is 210; the travel is 225 to 450
	// blades_mm[2] is 210; the blade before it and the least gap leave no room below 228
}

// With a limit of steps the result is the best plan so far, and a bound on the worth of
// the best of all: the same on every machine.
func ExampleOptions_work() {
	r, err := rip.Solve(drawers(), rip.Options{Work: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Proven, r.EndedBy == rip.WorkLimit, r.Best.Worth.Cmp(r.Bound) <= 0)
	// Output:
	// false true true
}
