package atwork_test

import (
	"context"
	"fmt"
	"time"

	"github.com/ripwright/ripwright/server/atwork"
	"github.com/ripwright/ripwright/server/gate"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/line"
)

// One of two slots for boards is taken.
func ExampleSources_Report() {
	boards, idle := gate.New(2, 8, "boards", time.Second), gate.New(1, 8, "others", time.Second)
	if err := boards.Enter(context.Background()); err != nil {
		fmt.Println(err)
		return
	}
	s := atwork.Sources{Since: time.Now(), Now: time.Now, Ready: func() bool { return true },
		Boards: boards.State, Plans: idle.State, Long: idle.State,
		Limits: func(int) limit.State { return limit.State{} },
		Lines:  func(int) ([]line.UnderWay, int) { return nil, 0 },
	}
	for _, q := range s.Report().Queues {
		fmt.Printf("%s: %d of %d\n", q.Name, q.Busy, q.Slots)
	}
	// Output:
	// boards: 1 of 2
	// plans and tallies: 0 of 1
	// long requests and answers: 0 of 1
}
