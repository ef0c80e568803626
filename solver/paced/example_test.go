package paced_test

import (
	"fmt"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The wider strip is worth more, but the blade takes seconds to get there. The price of
// the saw's time decides.
func ExampleSolve() {
	const mm = unit.Millimetre
	p := &rip.Problem{
		Board: wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 180 * mm}}},
		Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 25 * mm, LeastStrip: 25 * mm,
			Fence:  saw.Travel{Min: 100 * mm, Max: 100 * mm, Current: 100 * mm},
			Blades: []saw.Blade{{At: 104 * mm}, {Moving: true, Travel: saw.Travel{Min: 150 * mm, Max: 400 * mm, Current: 160 * mm}}}},
		Items: []order.Item{
			{ID: "narrow", Min: 52 * mm, Max: 52 * mm, Value: 10_000_000},
			{ID: "wide", Min: 120 * mm, Max: 120 * mm, Value: 5_000_000},
		},
	}
	for _, perHour := range []int64{0, 500} {
		t := paced.Terms{Pace: run.Pace{Feed: 30_000 * int64(mm), Positioning: 20 * int64(mm), Handling: time.Second}, Price: perHour * 1_000_000_000 / 3600}
		r, err := paced.Solve(p, t, rip.Options{})
		if err != nil {
			fmt.Println(err)
			return
		}
		for _, k := range r.Best.Pockets {
			if k.Item != rip.None {
				fmt.Printf("at %d an hour: %s, worth %.4f, blade moved by %v mm\n", perHour, p.Items[k.Item].ID, r.Best.Worth.Money(), r.Best.Travel.MM())
			}
		}
	}
	// Output:
	// at 0 an hour: wide, worth 1.4400, blade moved by 68 mm
	// at 500 an hour: narrow, worth 1.2480, blade moved by 0 mm
}
