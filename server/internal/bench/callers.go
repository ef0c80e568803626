package main

import (
	"context"
	"fmt"
	"slices"
	"time"

	"google.golang.org/grpc"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// callers prints how many boards a second callers get who ask again as soon as they
// are answered, and what the slowest hundredth waits. Beyond as many callers as the
// service has cores more of them only queue.
func callers(conn *grpc.ClientConn) error {
	ask, _, err := board()
	if err != nil {
		return err
	}
	client := ripwrightv1.NewRipServiceClient(conn)
	for _, n := range []int{1, 2, 4, 8, 16} {
		const long = 2 * time.Second
		got, failed := make([][]time.Duration, n), make(chan error, n)
		end := time.Now().Add(long)
		for i := range n {
			go func() {
				for time.Now().Before(end) {
					if err := timed(&got[i], func() error { _, err := client.SolveBoard(context.Background(), ask); return err }); err != nil {
						failed <- err
						return
					}
				}
				failed <- nil
			}()
		}
		for range n {
			if err := <-failed; err != nil {
				return err
			}
		}
		all := slices.Sorted(slices.Values(slices.Concat(got...)))
		fmt.Printf("%-42s %6.0f boards a second, %v median, %v 99th percentile\n", fmt.Sprintf("%d callers without a pause", n),
			float64(len(all))/long.Seconds(), all[len(all)/2].Round(time.Microsecond), all[len(all)*99/100].Round(time.Microsecond))
	}
	return nil
}
