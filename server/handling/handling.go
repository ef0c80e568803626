// Package handling has long messages read and written a few at a time, in turns between
// callers. Reading and writing need no search and wait in no queue for one, but take a
// processor for up to a tenth of a second each, and Go schedules all runnable goroutines
// in turn: what one caller sends on all its connections at once would delay everybody's
// boards at every step.
package handling

import (
	"context"
	"math"
	"runtime"
	"time"

	"github.com/ripwright/ripwright/server/gate"
)

// Short is the size in bytes up to which requests and answers are read and written at
// once, as most boards of a live line are: that takes less time than a wait would.
const Short = 16 << 10

// retryAfter is never reported: any number may wait, as many as may call.
const retryAfter = time.Second

// Desk may be used by any number of goroutines. A nil one makes nothing wait.
type Desk struct{ gate *gate.Gate }

// cores is how many this process has, read before GOMAXPROCS is raised.
var cores = runtime.GOMAXPROCS(0)

// New makes a desk that leaves a core to boards.
func New() *Desk {
	return &Desk{gate.New(max(cores-1, 1), math.MaxInt, "requests and answers", retryAfter)}
}

// Enter waits for the turn of the context's caller with a message of size bytes. leave
// ends the turn; call it once if there is no error. Do nothing before it that waits for
// others. The error is that of a caller that left.
func (d *Desk) Enter(ctx context.Context, size int) (leave func(), err error) {
	if d == nil || size <= Short {
		return func() {}, nil
	}
	if err := d.gate.Enter(ctx); err != nil {
		return nil, err
	}
	return d.gate.Leave, nil
}

// State reports how full it is, with at most that many of the callers that wait.
func (d *Desk) State(callers int) gate.State { return d.gate.State(callers) }
