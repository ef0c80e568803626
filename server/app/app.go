// Package app puts the service together and runs it: one gRPC server, reached
// over the network and by the JSON side from within, and one HTTP server.
package app

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"runtime"
	"sync/atomic"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/reflection"
	"google.golang.org/grpc/test/bufconn"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/front"
	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/tally"
)

// Config of a server.
type Config struct {
	GRPC, HTTP string // addresses to listen on
	Service    service.Config
	Drain      time.Duration // how long calls under way may take once it stops
}

// App is a server that listens; Run serves.
type App struct {
	cfg    Config
	log    *zap.Logger
	rpc    *grpc.Server
	web    *http.Server
	health *health.Server
	conn   *grpc.ClientConn

	rpcOut, webOut net.Listener
	inner          *bufconn.Listener
	ready          atomic.Bool
}

// maxBody bounds a request in bytes: a board of 2000 stations with an order of
// 500 items takes a tenth of it.
const maxBody = 4 << 20

// New opens the listeners and puts the parts together. On an error nothing is
// left open.
func New(cfg Config, log *zap.Logger) (a *App, err error) {
	a = &App{cfg: cfg, log: log, inner: bufconn.Listen(1 << 20)}
	defer func() {
		if err != nil {
			a.close()
		}
	}()
	saws, err := fleet.BuiltIn()
	if err != nil {
		return a, err
	}
	m := metrics.New(time.Now)
	g := &guard.Guard{Log: log, Watch: m, Now: time.Now}
	a.rpc = grpc.NewServer(
		grpc.UnaryInterceptor(g.Unary), grpc.StreamInterceptor(g.Stream),
		grpc.MaxRecvMsgSize(maxBody), grpc.MaxConcurrentStreams(1000),
	)
	ripwrightv1.RegisterRipServiceServer(a.rpc, service.New(saws, cfg.Service, m, time.Now))
	ripwrightv1.RegisterTallyServiceServer(a.rpc, tally.New(runtime.GOMAXPROCS(0)-1))
	a.health = health.NewServer()
	a.health.SetServingStatus(ripwrightv1.RipService_ServiceDesc.ServiceName, grpc_health_v1.HealthCheckResponse_SERVING)
	a.health.SetServingStatus(ripwrightv1.TallyService_ServiceDesc.ServiceName, grpc_health_v1.HealthCheckResponse_SERVING)
	grpc_health_v1.RegisterHealthServer(a.rpc, a.health)
	reflection.Register(a.rpc)

	if a.rpcOut, err = net.Listen("tcp", cfg.GRPC); err != nil {
		return a, fmt.Errorf("grpc: %w", err)
	}
	if a.webOut, err = net.Listen("tcp", cfg.HTTP); err != nil {
		return a, fmt.Errorf("http: %w", err)
	}
	a.conn, err = grpc.NewClient("passthrough:///inner",
		grpc.WithTransportCredentials(insecure.NewCredentials()), // never leaves the process
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return a.inner.DialContext(ctx) }),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(64<<20)),
	)
	if err != nil {
		return a, err
	}
	a.conn.Connect() // or the first JSON caller would wait for it
	a.ready.Store(true)
	handler, err := front.New(context.Background(), front.Config{
		Conn: a.conn, Registry: m.Registry, Ready: a.ready.Load, MaxBody: maxBody,
	})
	if err != nil {
		return a, err
	}
	a.web = &http.Server{Handler: handler, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 30 * time.Second,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10}
	return a, nil
}

// GRPC gives the address that gRPC callers use.
func (a *App) GRPC() string { return a.rpcOut.Addr().String() }

// HTTP gives the address that JSON callers use.
func (a *App) HTTP() string { return a.webOut.Addr().String() }

// Run serves until ctx is done, then lets the calls under way end within
// Config.Drain. It gives the first error of a server that failed by itself.
func (a *App) Run(ctx context.Context) error {
	failed := make(chan error, 3)
	serve := func(what string, f func() error) {
		go func() {
			err := f()
			if err != nil && !errors.Is(err, http.ErrServerClosed) {
				err = fmt.Errorf("%s: %w", what, err)
			} else {
				err = nil
			}
			failed <- err
		}()
	}
	serve("grpc", func() error { return a.rpc.Serve(a.rpcOut) })
	serve("inner", func() error { return a.rpc.Serve(a.inner) })
	serve("http", func() error { return a.web.Serve(a.webOut) })
	a.log.Info("serving", zap.String("grpc", a.GRPC()), zap.String("http", a.HTTP()))
	var err error
	ended := 0
	select {
	case <-ctx.Done():
	case err = <-failed:
		ended++
	}
	a.stop()
	for ; ended < 3; ended++ {
		if e := <-failed; err == nil {
			err = e
		}
	}
	return err
}

// stop turns readiness off and drains: first the HTTP side, whose calls need the
// gRPC server, then that. What is not done in time is cut off.
func (a *App) stop() {
	a.log.Info("stopping")
	a.ready.Store(false)
	a.health.Shutdown()
	ctx, cancel := context.WithTimeout(context.Background(), a.cfg.Drain)
	defer cancel()
	if a.web.Shutdown(ctx) != nil {
		_ = a.web.Close()
	}
	_ = a.conn.Close()
	drained := make(chan struct{})
	go func() {
		a.rpc.GracefulStop()
		close(drained)
	}()
	select {
	case <-drained:
	case <-ctx.Done():
		a.rpc.Stop()
		<-drained
	}
	a.close()
}

func (a *App) close() {
	for _, l := range []net.Listener{a.rpcOut, a.webOut} {
		if l != nil {
			_ = l.Close()
		}
	}
	_ = a.inner.Close()
	if a.conn != nil {
		_ = a.conn.Close()
	}
}
