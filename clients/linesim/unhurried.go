package main

import (
	"context"
	"net"
	"runtime"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	ofline "github.com/ripwright/ripwright/server/line"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/planning"
	ofservice "github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/workers"
)

// ages is longer than anything here takes on any machine.
const ages = 10_000 * time.Hour

// unhurried connects to a service in this process whose clock is stopped: only limits of
// work end its searches, so results do not depend on the load of the machine.
func unhurried() (conn *grpc.ClientConn, end func(), err error) {
	begun := time.Now()
	now := func() time.Time { return begun }
	m := metrics.New(now)
	saws, err := fleet.Open("", zap.NewNop(), m.Registry, time.Now)
	if err != nil {
		return nil, nil, err
	}
	cores := runtime.NumCPU()
	boards := ofservice.New(saws, ofservice.Config{Solves: cores, Waiting: 64, Longest: ages}, m, now)
	desk := workers.New(workers.Config{Workers: cores, Waiting: 64}, m.Plans, now)
	plans := planning.New(saws, planning.Config{Workers: desk, Longest: ages, OfLine: ages, Watch: m.Plans}, now)
	closing, stop := context.WithCancel(context.Background())
	lines := ofline.New(ofline.Config{Saws: saws, Solver: boards, Watch: m, Now: now, Planner: plans, Closing: closing})

	s := grpc.NewServer()
	ripwrightv1.RegisterPlanningServiceServer(s, plans)
	ripwrightv1.RegisterRipServiceServer(s, struct {
		*ofservice.Service
		*ofline.Server
	}{boards, lines})
	pipe := bufconn.Listen(1 << 20)
	served := make(chan struct{})
	go func() {
		defer close(served)
		_ = s.Serve(pipe) // until it is stopped
	}()
	halt := func() {
		stop()
		s.Stop()
		<-served
	}
	conn, err = grpc.NewClient("passthrough:///unhurried", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return pipe.DialContext(ctx) }),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(64<<20)))
	if err != nil {
		halt()
		return nil, nil, err
	}
	return conn, func() { _ = conn.Close(); halt() }, nil
}
