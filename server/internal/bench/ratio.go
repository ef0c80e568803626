package main

import (
	"context"
	"fmt"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/reflection/grpc_reflection_v1"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
)

// rounds is how often each side of a ratio is timed, alternately.
const rounds = 2000

// timed appends how long f took.
func timed(to *[]time.Duration, f func() error) error {
	begin := time.Now()
	err := f()
	*to = append(*to, time.Since(begin))
	return err
}

// unary compares a call with an empty call and the bare solve.
func unary(conn *grpc.ClientConn) error {
	ask, job, err := board()
	if err != nil {
		return err
	}
	ctx := context.Background()
	client, health := ripwrightv1.NewRipServiceClient(conn), grpc_health_v1.NewHealthClient(conn)
	var calls, empty, solves, inside []time.Duration
	for range rounds {
		if err := timed(&calls, func() error {
			a, err := client.SolveBoard(ctx, ask)
			inside = append(inside, time.Duration(a.GetSolveTimeUs()*1000))
			return err
		}); err != nil {
			return err
		}
		if err := timed(&empty, func() error {
			_, err := health.Check(ctx, &grpc_health_v1.HealthCheckRequest{})
			return err
		}); err != nil {
			return err
		}
		if err := timed(&solves, func() error {
			_, err := rip.Solve(&job.Problem, rip.Options{Stop: func() bool { return false }})
			return err
		}); err != nil {
			return err
		}
	}
	call, none, bare := median(calls), median(empty), median(solves)
	fmt.Printf("%-42s call %v, empty call %v, bare solve %v (%v in the service) at the median\n", "unary SolveBoard over loopback",
		call, none, bare, median(inside))
	row("  beyond an empty call and the bare solve", call-none-bare, 40*time.Microsecond)
	return nil
}

// stream compares a board on a live line, up to its plan, with an empty exchange on a
// stream (reflection's list of services) and the bare solve. The board is confirmed
// before the next one, outside the timing.
func stream(conn *grpc.ClientConn) error {
	ask, job, err := board()
	if err != nil {
		return err
	}
	for _, it := range ask.GetOrder().GetItems() {
		it.Required = nil // otherwise a run would fill them
	}
	for i := range job.Problem.Items {
		job.Problem.Items[i].Measure = 0
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	line, err := ripwrightv1.NewRipServiceClient(conn).RunLine(ctx)
	if err != nil {
		return err
	}
	empty, err := grpc_reflection_v1.NewServerReflectionClient(conn).ServerReflectionInfo(ctx)
	if err != nil {
		return err
	}
	sequence := int32(0)
	exchange := func(m *ripwrightv1.RunLineRequest) error {
		sequence++
		m.Sequence = sequence
		if err := line.Send(m); err != nil {
			return err
		}
		a, err := line.Recv()
		if err == nil && a.GetRefused() != nil {
			err = fmt.Errorf("refused: %v", a.GetRefused())
		}
		return err
	}
	setUp := &ripwrightv1.LineSetUp{RunId: "bench", Order: ask.GetOrder(), SawChoice: &ripwrightv1.LineSetUp_SawName{SawName: ask.GetSawName()}}
	if err := exchange(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: setUp}}); err != nil {
		return err
	}
	list := &grpc_reflection_v1.ServerReflectionRequest{MessageRequest: &grpc_reflection_v1.ServerReflectionRequest_ListServices{}}
	var boards, none, solves []time.Duration
	for range rounds {
		if err := timed(&boards, func() error {
			return exchange(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: ask.GetBoard()}}})
		}); err != nil {
			return err
		}
		if err := exchange(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: &ripwrightv1.CutConfirmation{
			BoardSequence: sequence, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED}}}); err != nil {
			return err
		}
		if err := timed(&none, func() error {
			if err := empty.Send(list); err != nil {
				return err
			}
			_, err := empty.Recv()
			return err
		}); err != nil {
			return err
		}
		if err := timed(&solves, func() error {
			_, err := rip.Solve(&job.Problem, rip.Options{Stop: func() bool { return false }})
			return err
		}); err != nil {
			return err
		}
	}
	b, n, s := median(boards), median(none), median(solves)
	fmt.Printf("%-42s board %v, empty exchange %v, bare solve %v at the median: %v beyond both\n", "a board on a live line over loopback", b, n, s, b-n-s)
	return nil
}
