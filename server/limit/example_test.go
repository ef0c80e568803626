package limit_test

import (
	"fmt"
	"time"

	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/limit"
)

// told prints what a watcher is told.
type told struct{}

func (told) TurnedAway(_, limit string) { fmt.Println("turned away:", limit) }

// Two calls at once for each caller: the third is refused, another caller's is admitted.
func ExampleLimits() {
	l := limit.New(limit.Config{CallerCalls: 2}, told{}, time.Now)
	one, other := caller.Token("line 1"), caller.Token("line 2")
	for _, who := range []string{one, one, one, other} {
		fmt.Println(status.Code(l.Enter(who)))
	}
	l.Leave(one)
	fmt.Println(status.Code(l.Enter(one)))
	// Output:
	// OK
	// OK
	// turned away: caller_calls
	// ResourceExhausted
	// OK
	// OK
}
