// Package handling has what is long read and written a few at a time, callers taking
// turns. That needs no search and is in no queue for one, but it takes a processor for
// up to a tenth of a second a piece, and Go lets all that can run have it in turn: what
// one caller sends on all its connections at once would have everybody's boards wait
// at every step.
package handling

import (
	"context"
	"math"
	"runtime"
	"time"

	"github.com/ripwright/ripwright/server/gate"
)

// Short is up to how many bytes requests and answers are read and written at once, as
// boards of a live line mostly are: that takes less than waiting would.
const Short = 16 << 10

// retryAfter is never told: any number may wait, as many as may call.
const retryAfter = time.Second

// Desk is used by any number of goroutines. A nil one lets everything be done at once.
type Desk struct{ gate *gate.Gate }

// cores is how many there are for this process, before there are more places to run.
var cores = runtime.GOMAXPROCS(0)

// New makes a desk that leaves a core to boards.
func New() *Desk {
	return &Desk{gate.New(max(cores-1, 1), math.MaxInt, "requests and answers", retryAfter)}
}

// Enter waits for the turn of the context's caller with what has so many bytes. leave
// ends it, and is called once where there is no error. Nothing that waits for others
// may be done before that. The error is that of a caller who left.
func (d *Desk) Enter(ctx context.Context, size int) (leave func(), err error) {
	if d == nil || size <= Short {
		return func() {}, nil
	}
	if err := d.gate.Enter(ctx); err != nil {
		return nil, err
	}
	return d.gate.Leave, nil
}

// State tells how full it is, and of so many callers that wait.
func (d *Desk) State(callers int) gate.State { return d.gate.State(callers) }
