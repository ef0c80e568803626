package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// beside measures live boards while quotes run at full load, and the same boards without
// quotes: alternately, so that other work on the machine affects both.
func beside(conn *grpc.ClientConn) error {
	ask, _, err := board()
	if err != nil {
		return err
	}
	client := ripwrightv1.NewRipServiceClient(conn)
	const blocks, each = 8, 400
	var idle, busy []time.Duration
	before, err := boardsQuoted()
	if err != nil {
		return err
	}
	live := func(to *[]time.Duration) error {
		next := time.Now()
		for range each {
			time.Sleep(time.Until(next)) // a saw feeds one board at a time
			next = next.Add(4 * time.Millisecond)
			if err := timed(to, func() error { _, err := client.SolveBoard(context.Background(), ask); return err }); err != nil {
				return err
			}
		}
		return nil
	}
	for range blocks {
		if err := live(&idle); err != nil {
			return err
		}
		stop := quotes(conn, ask)
		err := live(&busy)
		if err := errors.Join(err, stop()); err != nil {
			return err
		}
	}
	quoted, err := boardsQuoted()
	if err != nil {
		return err
	}
	slices.Sort(idle)
	slices.Sort(busy)
	p99 := func(all []time.Duration) time.Duration { return all[len(all)*99/100] }
	fmt.Printf("%-42s %v median, %v 99th percentile idle; %v and %v beside quotes, which solve %.0f boards a second\n",
		fmt.Sprintf("live boards on %d cores", runtime.GOMAXPROCS(0)), idle[len(idle)/2].Round(time.Microsecond), p99(idle).Round(time.Microsecond),
		busy[len(busy)/2].Round(time.Microsecond), p99(busy).Round(time.Microsecond), (quoted-before)/(blocks*each*0.004))
	row("  99th percentile beside quotes", p99(busy), (3 * p99(idle)).Round(time.Microsecond))
	return nil
}

// quotes asks for quotes without a pause until it is stopped, more of them at once than
// there are workers.
func quotes(conn *grpc.ClientConn, of *ripwrightv1.SolveBoardRequest) (stop func() error) {
	ctx, cancel := context.WithCancel(context.Background())
	client := ripwrightv1.NewPlanningServiceClient(conn)
	m := &ripwrightv1.QuoteOrderRequest{
		SawChoice: &ripwrightv1.QuoteOrderRequest_SawName{SawName: of.GetSawName()}, Order: of.GetOrder(), Compare: []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_OWN, ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD},
		Lumber: spread,
	}
	n := runtime.GOMAXPROCS(0) + 2
	failed := make(chan error, n)
	for range n {
		go func() {
			for ctx.Err() == nil {
				if _, err := client.QuoteOrder(ctx, m); err != nil && status.Code(err) != codes.Canceled {
					failed <- err
					return
				}
			}
			failed <- nil
		}()
	}
	return func() (err error) {
		cancel()
		for range n {
			err = errors.Join(err, <-failed)
		}
		return err
	}
}
