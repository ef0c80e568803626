package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"google.golang.org/grpc"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// callers prints how many boards a second callers get if each asks again as soon as it is
// answered, the median and 99th percentile of their latency, and the exponent with which
// the rate has grown since the previous number of callers. Callers beyond the number of
// the service's cores only queue.
func callers(conn *grpc.ClientConn) error {
	ask, _, err := board()
	if err != nil {
		return err
	}
	client := ripwrightv1.NewRipServiceClient(conn)
	fmt.Printf("%-30s %8s %12s %12s %12s %8s\n", "", "size", "boards/s", "median", "99 %", "power")
	numbers := []int{1, 2, 4, 8, 16}
	before := 0.0
	for i, n := range numbers {
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
		rate := float64(len(all)) / long.Seconds()
		fmt.Printf("%-30s %8d %12.0f %12v %12v", "callers without a pause", n, rate,
			all[len(all)/2].Round(time.Microsecond), all[len(all)*99/100].Round(time.Microsecond))
		if i > 0 {
			fmt.Printf(" %8.2f", math.Log(rate/before)/math.Log(float64(n)/float64(numbers[i-1])))
		}
		if i == len(numbers)-1 {
			fmt.Print("  theory: 1 up to the cores, 0 beyond")
		}
		fmt.Println()
		before = rate
	}
	return nil
}
