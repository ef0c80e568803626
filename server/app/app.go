// Package app assembles the service and runs it: a gRPC server for callers, an HTTP
// server for JSON callers, and behind it a second gRPC server, reached only from within,
// so that both kinds of callers pass the same interceptors.
package app

import (
	"context"
	"crypto/tls"
	"fmt"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/reflection"
	"google.golang.org/grpc/test/bufconn"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/proto/site"
	"github.com/ripwright/ripwright/server/atwork"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/front"
	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/handling"
	"github.com/ripwright/ripwright/server/info"
	"github.com/ripwright/ripwright/server/intake"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/page"
	"github.com/ripwright/ripwright/server/planning"
	"github.com/ripwright/ripwright/server/record"
	"github.com/ripwright/ripwright/server/secure"
	"github.com/ripwright/ripwright/server/tally"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/workers"
)

// App is a server that listens; Run serves.
type App struct {
	cfg    Config
	log    *zap.Logger
	saws   *fleet.Live
	outer  *grpc.Server // for callers
	inner  *grpc.Server // for the HTTP server
	web    *http.Server
	watch  *metrics.Metrics
	alive  *http.Server // nil: health is served with the calls
	health *health.Server
	conn   *grpc.ClientConn // to inner
	record *record.Recorder // nil: nothing is recorded
	work   atwork.Sources

	rpcOut, webOut, aliveOut net.Listener
	pipe                     *bufconn.Listener
	ready                    atomic.Bool
	after                    func(time.Duration) <-chan time.Time // a test ends the delay itself

	// closing is done when the listeners close, halted when Halt is called.
	closing, halted context.Context
	closeNow, halt  context.CancelFunc
}

// New opens the listeners and assembles the parts. After an error nothing is left open.
func New(cfg Config, log *zap.Logger) (a *App, err error) {
	if cfg.MaxBody == 0 {
		cfg.MaxBody = DefaultMaxBody
	}
	if cfg.LongestPlan == 0 {
		cfg.LongestPlan = DefaultLongestPlan
	}
	codec.Register()
	a = &App{cfg: cfg, log: log, pipe: bufconn.Listen(1 << 20), health: health.NewServer(), after: time.After}
	a.closing, a.closeNow = context.WithCancel(context.Background())
	a.halted, a.halt = context.WithCancel(context.Background())
	defer func() {
		if err != nil {
			a.close()
		}
	}()
	m := metrics.New(time.Now)
	a.watch = m
	a.work = atwork.Sources{Since: time.Now(), Now: time.Now, Ready: a.ready.Load, Held: cfg.Room}
	for _, s := range a.sources() {
		m.Reads(s.Kind())
	}
	if cfg.Keys != nil {
		m.Certificate(cfg.Keys.Until())
	}
	if a.saws, err = fleet.Open(cfg.Saws, log, m.Registry, time.Now); err != nil {
		return a, err
	}
	m.Listed(func(k wire.Mark) bool {
		s, ok := a.saws.Find(k.Saw)
		return ok && s.Mark() == k
	})
	g := &guard.Guard{Log: log, Watch: m, Now: time.Now}
	// Plans and tallies share workers, so that together they leave a core to live boards.
	cfg.Workers.Room = cfg.Room
	if cfg.Room != nil {
		m.Room(cfg.Room.Held, cfg.Room.Most)
	}
	desk := workers.New(cfg.Workers, m.Plans, time.Now)
	m.Plans.Have(desk.Slots())
	a.work.Plans = desk.State
	plans := planning.New(a.saws, planning.Config{Workers: desk, Longest: cfg.LongestPlan, Memory: cfg.SearchMemory, Currency: cfg.Currency, Watch: m.Plans}, time.Now)
	calls, err := a.calls(m, plans)
	if err != nil {
		return a, err
	}
	services := map[*grpc.ServiceDesc]any{
		&ripwrightv1.RipService_ServiceDesc:      calls,
		&ripwrightv1.TallyService_ServiceDesc:    tally.New(desk, cfg.Currency),
		&ripwrightv1.PlanningService_ServiceDesc: plans,
		&ripwrightv1.InfoService_ServiceDesc:     info.New(a.saws, cfg.MaxBody),
	}
	if cfg.Limits.Room = cfg.Room; cfg.Room != nil {
		cfg.Limits.Way = memory.NewRoom(max(cfg.Room.Most()/2, 2*int64(cfg.MaxBody)))
	}
	limits := limit.New(cfg.Limits, m, time.Now)
	a.work.Limits, a.work.Way = limits.State, cfg.Limits.Way
	long := handling.New()
	a.work.Long = long.State
	in := &intake.Gate{Limits: intake.LimitsOf(int64(cfg.MaxBody)), Room: cfg.Room, Watch: m, Desk: long}
	behind := *in
	behind.Of = front.Account(cfg.Room)
	serve := func(in *intake.Gate, options []grpc.ServerOption) *grpc.Server {
		s := grpc.NewServer(append(options,
			grpc.ChainUnaryInterceptor(g.Unary, cfg.Tokens.Unary, intake.Unary), grpc.ChainStreamInterceptor(g.Stream, cfg.Tokens.Stream))...)
		for d, serves := range services {
			s.RegisterService(in.Serve(d), serves)
		}
		return s
	}
	a.outer, a.inner = serve(in, outerOptions(cfg, limits)), serve(&behind, innerOptions(cfg))
	for d := range services {
		a.health.SetServingStatus(d.ServiceName, grpc_health_v1.HealthCheckResponse_SERVING)
	}
	grpc_health_v1.RegisterHealthServer(a.outer, watchable{a.health, a.closing})
	reflection.Register(a.outer)

	if a.rpcOut, err = net.Listen("tcp", cfg.GRPC); err != nil {
		return a, fmt.Errorf("grpc: %w", err)
	}
	if a.webOut, err = net.Listen("tcp", cfg.HTTP); err != nil {
		return a, fmt.Errorf("http: %w", err)
	}
	a.rpcOut, a.webOut = limits.Listen(a.rpcOut), limits.Listen(a.webOut)
	a.conn, err = grpc.NewClient("passthrough:///inner",
		grpc.WithTransportCredentials(insecure.NewCredentials()), // never leaves the process
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return a.pipe.DialContext(ctx) }),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(64<<20)), grpc.WithUnaryInterceptor(front.Arrived), grpc.WithStreamInterceptor(front.ArrivedStream),
	)
	if err != nil {
		return a, err
	}
	a.conn.Connect() // otherwise the first JSON caller would wait for it
	a.ready.Store(true)
	handler, err := front.New(context.Background(), front.Config{
		Conn: a.conn, Registry: m.Registry, Settings: cfg.Settings, AtWork: a.work.Page(), Desk: long, Ready: a.ready.Load, MaxBody: int64(cfg.MaxBody), Tokens: cfg.Tokens, Limits: limits, Page: a.page(), Names: a.names(), Traces: cfg.Traces, Room: cfg.Room, Watch: m,
	})
	if err != nil {
		return a, err
	}
	if err = a.listenForHealth(m.Registry); err != nil {
		return a, err
	}
	a.web = &http.Server{Protocols: oneOnly(), TLSConfig: tlsOf(cfg.Keys), Handler: leaving(handler, a.ready.Load), ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout: 30 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: mostHeader, ErrorLog: webLog(log)}
	return a, nil
}

// page is what the page needs to know; nil: there is no page.
func (a *App) page() *page.Config {
	if !a.cfg.Page {
		return nil
	}
	_, port, _ := net.SplitHostPort(a.GRPC()) // a listener's address has a port
	return &page.Config{GRPCPort: port, MaxBody: int64(a.cfg.MaxBody), TLS: a.cfg.Keys != nil, Tokens: a.cfg.Tokens, Saws: a.saws.Messages}
}

// names are those by which HTTP callers may call: the host of the address that it listens
// on, those of the certificate and those configured.
func (a *App) names() site.Names {
	n := site.Names{Own: a.cfg.Hosts}
	// A name that every program on this machine shares does not identify this service.
	if host, _, err := net.SplitHostPort(a.cfg.HTTP); err == nil && host != "" && host != "localhost" && net.ParseIP(host) == nil {
		n.Own = append(slices.Clone(n.Own), strings.ToLower(host))
	}
	if a.cfg.Keys != nil {
		n.Certified = a.cfg.Keys.Certified
	}
	return n
}

// oneOnly leaves HTTP/2 out of the HTTP side: JSON callers do not need it, and every
// server without it is one fewer to attack through it.
func oneOnly() *http.Protocols {
	p := &http.Protocols{}
	p.SetHTTP1(true)
	return p
}

func tlsOf(k *secure.Keys) *tls.Config {
	if k == nil {
		return nil
	}
	return k.Config("http/1.1")
}

// GRPC gives the address for gRPC callers.
func (a *App) GRPC() string { return a.rpcOut.Addr().String() }

// HTTP gives the address for JSON callers.
func (a *App) HTTP() string { return a.webOut.Addr().String() }

func (a *App) close() {
	a.closeNow()
	a.halt()
	for _, l := range []net.Listener{a.rpcOut, a.webOut, a.aliveOut} {
		if l != nil {
			_ = l.Close()
		}
	}
	_ = a.pipe.Close()
	if a.conn != nil {
		_ = a.conn.Close()
	}
	if a.record != nil {
		a.record.Close()
	}
}
