package run_test

import (
	"fmt"
	"time"

	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// The time that a board of 2.4 m takes if the longest move is 60 mm.
func ExamplePace_Cycle() {
	const mm = unit.Millimetre
	pace := run.Pace{Feed: 30_000 * int64(mm), Positioning: 40 * int64(mm), Handling: 900 * time.Millisecond, Overlaps: true}
	c, known := pace.Cycle(2400*mm, 60*mm)
	fmt.Println(known, c.Feed, c.Positioning, c.Handling, c.Total)
	fmt.Printf("%.1f boards a minute\n", c.PerMinute())
	// Output:
	// true 4.8s 1.5s 900ms 6.3s
	// 9.5 boards a minute
}
