package arrival_test

import (
	"context"
	"fmt"
	"time"

	"github.com/ripwright/ripwright/server/arrival"
)

// A limit counts from when the request had arrived whole, plus its wait since then.
func Example() {
	came := time.Now().Add(-time.Second)
	ctx := arrival.Expect(context.Background())
	arrival.Came(ctx, came)
	arrival.Wait(ctx, 100*time.Millisecond)
	fmt.Println(arrival.Of(ctx, time.Now()).Sub(came))
	// Output: 100ms
}
