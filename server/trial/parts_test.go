package trial

import (
	"context"
	"net"
	"net/http/httptest"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/front"
	"github.com/ripwright/ripwright/server/guard"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
)

// watcher passes events on to the metrics, after calling a hook.
type watcher struct {
	*metrics.Metrics
	onTurn func()
}

func (w watcher) Waited(d time.Duration) {
	w.Metrics.Waited(d)
	w.onTurn()
}

// assemble builds a server from its parts, with a hook into every board's turn.
func assemble(t *testing.T, cfg service.Config, onTurn func()) *house {
	t.Helper()
	core, log := observer.New(zapcore.DebugLevel)
	saws, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	m := metrics.New(time.Now)
	g := &guard.Guard{Log: zap.New(core), Watch: m, Now: time.Now}
	codec.Register()
	rpc := grpc.NewServer(grpc.UnaryInterceptor(g.Unary))
	ripwrightv1.RegisterRipServiceServer(rpc, service.New(saws, cfg, watcher{m, onTurn}, time.Now))
	inner := bufconn.Listen(1 << 20)
	go func() { _ = rpc.Serve(inner) }() // ends with Stop
	conn, err := grpc.NewClient("passthrough:///inner",
		grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return inner.DialContext(ctx) }))
	if err != nil {
		t.Fatal(err)
	}
	handler, err := front.New(t.Context(), front.Config{
		Conn: conn, Registry: m.Registry, Ready: func() bool { return true }, MaxBody: 1 << 20,
	})
	if err != nil {
		t.Fatal(err)
	}
	web := httptest.NewServer(handler)
	t.Cleanup(func() {
		web.Close()
		_ = conn.Close()
		rpc.Stop()
	})
	return &house{rpc: ripwrightv1.NewRipServiceClient(conn), url: web.URL, log: log}
}
