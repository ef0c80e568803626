package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// service is a running service. stop ends it and waits for it.
type service struct {
	rip      ripwrightv1.RipServiceClient
	planning ripwrightv1.PlanningServiceClient
	stop     func()
}

// startService builds the service and runs it on free loopback ports.
func startService(ctx context.Context) (*service, error) {
	dir, err := os.MkdirTemp("", "ripwright-demo")
	if err != nil {
		return nil, err
	}
	binary := filepath.Join(dir, "server")
	if text, err := exec.CommandContext(ctx, "go", "build", "-o", binary, "./server").CombinedOutput(); err != nil {
		return nil, errors.Join(fmt.Errorf("building the service: %w\n%s", err, text), os.RemoveAll(dir))
	}
	rpc, web, err := freeAddresses()
	if err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	// There is no load balancer that must notice that it stops.
	server := exec.CommandContext(ctx, binary, "--grpc", rpc, "--http", web, "--drain-delay", "0s")
	server.Cancel = func() error { return server.Process.Signal(syscall.SIGTERM) }
	server.WaitDelay = 15 * time.Second
	if err := server.Start(); err != nil {
		return nil, errors.Join(err, os.RemoveAll(dir))
	}
	codec.Register()
	conn, err := grpc.NewClient(rpc, grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithDefaultCallOptions(grpc.WaitForReady(true)))
	stop := func() {
		if conn != nil {
			_ = conn.Close()
		}
		_ = server.Process.Signal(syscall.SIGTERM)
		_ = server.Wait()
		_ = os.RemoveAll(dir)
	}
	if err != nil {
		stop()
		return nil, err
	}
	return &service{ripwrightv1.NewRipServiceClient(conn), ripwrightv1.NewPlanningServiceClient(conn), stop}, nil
}

func freeAddresses() (a, b string, err error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", "", err
	}
	defer func() { _ = l.Close() }()
	m, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", "", err
	}
	defer func() { _ = m.Close() }()
	return l.Addr().String(), m.Addr().String(), nil
}
