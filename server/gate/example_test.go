package gate_test

import (
	"context"
	"fmt"
	"time"

	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/server/gate"
)

// One slot and no room to wait: the second is refused until the first leaves.
func ExampleGate() {
	g := gate.New(1, 0, "boards", time.Second)
	fmt.Println(g.Enter(context.Background()))
	fmt.Println(status.Code(g.Enter(context.Background())))
	g.Leave()
	fmt.Println(g.Enter(context.Background()))
	// Output:
	// <nil>
	// ResourceExhausted
	// <nil>
}
