package handling

import (
	"context"
	"math"
	"runtime"
	"testing"

	"go.uber.org/goleak"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/gate"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// A caller's long message comes after another caller's, however many the first one sent
// before; a short one never waits.
func TestCallersTakeTurns(t *testing.T) {
	d := &Desk{gate.New(1, math.MaxInt, "requests and answers", retryAfter)}
	first, err := d.Enter(t.Context(), math.MaxInt)
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan string, 100)
	enter := func(who string, waiting int) {
		go func() {
			leave, err := d.Enter(caller.With(t.Context(), who), Short+1)
			if err != nil {
				t.Error(err)
			}
			done <- who
			leave()
		}()
		for d.State(1).Waiting < waiting {
			runtime.Gosched()
		}
	}
	for i := range 20 {
		enter("many", i+1)
	}
	enter("one", 21)
	leave, err := d.Enter(t.Context(), Short)
	if err != nil {
		t.Fatal(err)
	}
	leave()
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := d.Enter(gone, Short+1); status.Code(err) != codes.Canceled {
		t.Errorf("the caller that left: %v", err)
	}
	first()
	at := map[string]int{}
	for i := range 21 {
		if who := <-done; who == "one" {
			at[who] = i
		}
	}
	if at["one"] > 1 {
		t.Errorf("one that came last has turn %d", at["one"])
	}
}
