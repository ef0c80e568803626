package replan_test

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// A line adds each board that it has seen, starts a planning when one is due, continues
// to cut in the meantime, and cuts by the new values once they are planned.
func ExampleCourse() {
	const mm = unit.Millimetre
	gang := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{Max: 290 * mm},
		Blades: []saw.Blade{{At: 120 * mm}, {At: 164 * mm}, {At: 238 * mm}}}
	items := []order.Item{
		{ID: "slat", Min: 40 * mm, Max: 40 * mm, Value: 10_000_000, Measure: order.ByLength, Required: 160_000_000},
		{ID: "stile", Min: 70 * mm, Max: 70 * mm, Value: 10_000_000, Measure: order.ByLength, Required: 240_000_000},
	}
	board := wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 190 * mm}}}

	var c replan.Course
	for range 30 {
		c.Sample.Add(&board)
	}
	fmt.Println("due:", c.Due(25))
	task := c.Task(gang, items, nil, values.Everything)
	set, err := task.Plan(values.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	c.Take(task, set, "")
	c.Apply(items)
	fmt.Println("due:", c.Due(25), "- planned:", c.Planned, "- items with values:", len(set.Items))
	// Output:
	// due: true
	// due: false - planned: 1 - items with values: 2
}
