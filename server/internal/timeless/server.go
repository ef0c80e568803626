package main

import (
	"context"
	"runtime"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/line"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/planning"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/workers"
)

// ages is longer than anything here takes on any machine.
const ages = 10_000 * time.Hour

// server has boards, lines and orders planned on a clock that stands, until closing is
// done.
func server(closing context.Context) (*grpc.Server, error) {
	begun := time.Now()
	now := func() time.Time { return begun }
	m := metrics.New(now)
	saws, err := fleet.Open("", zap.NewNop(), m.Registry, time.Now)
	if err != nil {
		return nil, err
	}
	cores := runtime.NumCPU()
	boards := service.New(saws, service.Config{Solves: cores, Waiting: 64, Longest: ages}, m, now)
	desk := workers.New(workers.Config{Workers: cores, Waiting: 64}, m.Plans, now)
	plans := planning.New(saws, planning.Config{Workers: desk, Longest: ages, OfLine: ages, Watch: m.Plans}, now)
	lines := line.New(line.Config{Saws: saws, Solver: boards, Watch: m, Now: now, Planner: plans, Closing: closing})

	s := grpc.NewServer()
	ripwrightv1.RegisterPlanningServiceServer(s, plans)
	ripwrightv1.RegisterRipServiceServer(s, struct {
		*service.Service
		*line.Server
	}{boards, lines})
	return s, nil
}
