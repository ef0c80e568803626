package gate

import (
	"context"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// A gate lets so many in, so many wait, and turns the rest away; who leaves
// makes room, and so does who gives up.
func TestGate(t *testing.T) {
	g := New(1, 1, "boards", time.Second)
	if err := g.Enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	ctx, giveUp := context.WithCancel(t.Context())
	waited := make(chan error)
	go func() { waited <- g.Enter(ctx) }()
	for g.Waiting() == 0 { // until the second one waits
		select {
		case err := <-waited:
			t.Fatalf("did not wait: %v", err)
		default:
		}
	}
	if err := g.Enter(t.Context()); status.Code(err) != codes.ResourceExhausted || status.Convert(err).Message() != "too many boards are waiting" {
		t.Errorf("a third one: %v", err)
	}
	giveUp()
	if err := <-waited; status.Code(err) != codes.Canceled {
		t.Errorf("who gave up: %v", err)
	}
	if n := g.Waiting(); n != 0 {
		t.Fatalf("%d wait", n)
	}
	go func() { waited <- g.Enter(t.Context()) }()
	g.Leave()
	if err := <-waited; err != nil {
		t.Errorf("after one left: %v", err)
	}
	g.Leave()
}

// A caller whose time runs out while waiting is told so, not that the service is
// busy.
func TestGateKeepsDeadlines(t *testing.T) {
	g := New(1, 1, "boards", time.Second)
	if err := g.Enter(t.Context()); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 1)
	defer cancel()
	if err := g.Enter(ctx); status.Code(err) != codes.DeadlineExceeded {
		t.Error(err)
	}
}
