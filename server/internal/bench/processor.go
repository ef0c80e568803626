package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/health/grpc_health_v1"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// processor prints the processor time that the service takes for a board and for an empty
// call, which other work on the machine affects less than latencies.
func processor(conn *grpc.ClientConn, pid int) error {
	ask, _, err := board()
	if err != nil {
		return err
	}
	ctx := context.Background()
	client, health := ripwrightv1.NewRipServiceClient(conn), grpc_health_v1.NewHealthClient(conn)
	of := func(call func() error) (time.Duration, error) {
		const calls = 5 * rounds
		before, err := busy(pid)
		if err != nil {
			return 0, err
		}
		for range calls {
			if err := call(); err != nil {
				return 0, err
			}
		}
		after, err := busy(pid)
		return (after - before) / calls, err
	}
	empty, err := of(func() error {
		_, err := health.Check(ctx, &grpc_health_v1.HealthCheckRequest{})
		return err
	})
	if err != nil {
		return err
	}
	boards, err := of(func() error {
		_, err := client.SolveBoard(ctx, ask)
		return err
	})
	if err != nil {
		return err
	}
	fmt.Printf("%-42s board %v, empty call %v\n", "  processor time of the service", boards, empty)
	return nil
}

// busy is how long the threads of a process have run on a processor.
func busy(pid int) (sum time.Duration, err error) {
	tasks, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/schedstat", pid))
	for _, t := range tasks {
		text, err := os.ReadFile(t)
		if err != nil {
			continue // a thread that has ended meanwhile
		}
		ns, err := strconv.ParseInt(strings.Fields(string(text))[0], 10, 64)
		if err != nil {
			return 0, err
		}
		sum += time.Duration(ns)
	}
	return sum, err
}
