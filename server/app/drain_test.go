package app

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"go.uber.org/goleak"
	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/service"
)

// replica is a server that a test stops itself.
type replica struct {
	*App
	stop  context.CancelFunc
	ended chan error
}

// run starts a server; addresses with port 0 get a free one.
func run(t *testing.T, cfg Config) *replica {
	t.Helper()
	return runWith(t, cfg, func(*App) {})
}

// runWith calls before on a server and starts it.
func runWith(t *testing.T, cfg Config, before func(*App)) *replica {
	t.Helper()
	cfg.Service = service.Config{Solves: 2, Waiting: 256, Longest: 10 * time.Second}
	a, err := New(cfg, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	before(a)
	ctx, stop := context.WithCancel(context.Background())
	r := &replica{App: a, stop: stop, ended: make(chan error, 1)}
	go func() { r.ended <- a.Run(ctx) }()
	return r
}

// noLeaks checks at the test's end that no goroutine of the server is left.
func noLeaks(t *testing.T) {
	t.Helper()
	before := goleak.IgnoreCurrent()
	t.Cleanup(func() {
		http.DefaultClient.CloseIdleConnections()
		goleak.VerifyNone(t, before)
	})
}

func dial(t *testing.T, address string, o ...grpc.DialOption) *grpc.ClientConn {
	t.Helper()
	conn, err := grpc.NewClient(address, append(o, grpc.WithTransportCredentials(insecure.NewCredentials()))...)
	if err != nil {
		t.Fatal(err)
	}
	return conn
}

// until waits for a condition that must become true.
func until(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); !ok(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("timed out waiting for %s", what)
		}
	}
}

func loopback(c Config) Config {
	c.GRPC, c.HTTP = "127.0.0.1:0", "127.0.0.1:0"
	return c
}

func request(t *testing.T) *ripwrightv1.SolveBoardRequest {
	t.Helper()
	var m ripwrightv1.SolveBoardRequest
	if err := protojson.Unmarshal([]byte(good), &m); err != nil {
		t.Fatal(err)
	}
	return &m
}

// Health answers for the service by name and for the server as a whole, and for nothing
// else.
func TestHealthNames(t *testing.T) {
	_, _, conn := start(t)
	for name, code := range map[string]codes.Code{"": codes.OK, "ripwright.v1.RipService": codes.OK, "other": codes.NotFound} {
		h, err := grpc_health_v1.NewHealthClient(conn).Check(t.Context(), &grpc_health_v1.HealthCheckRequest{Service: name})
		if status.Code(err) != code || err == nil && h.GetStatus() != grpc_health_v1.HealthCheckResponse_SERVING {
			t.Errorf("%q: %v %v", name, h, err)
		}
	}
}

// A server that is told to stop reports it in every way there is, and serves as before;
// Halt then ends it.
func TestDrainDelay(t *testing.T) {
	noLeaks(t)
	r := run(t, loopback(Config{DrainDelay: time.Hour, Drain: time.Hour}))
	conn := dial(t, r.GRPC())
	defer func() { _ = conn.Close() }()
	health := grpc_health_v1.NewHealthClient(conn)
	watch, err := health.Watch(t.Context(), &grpc_health_v1.HealthCheckRequest{Service: "ripwright.v1.RipService"})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []grpc_health_v1.HealthCheckResponse_ServingStatus{grpc_health_v1.HealthCheckResponse_SERVING, grpc_health_v1.HealthCheckResponse_NOT_SERVING} {
		if h, err := watch.Recv(); err != nil || h.GetStatus() != want {
			t.Fatalf("watch says %v %v, want %v", h, err, want)
		}
		r.stop()
	}
	for _, name := range []string{"", "ripwright.v1.RipService"} {
		h, err := health.Check(t.Context(), &grpc_health_v1.HealthCheckRequest{Service: name})
		if err != nil || h.GetStatus() != grpc_health_v1.HealthCheckResponse_NOT_SERVING {
			t.Errorf("health of %q: %v %v", name, h, err)
		}
	}
	if code, says := get(t, r.App, "/readyz"); code != http.StatusServiceUnavailable {
		t.Errorf("readyz %d %s", code, says)
	}
	if code, says := get(t, r.App, "/livez"); code != http.StatusOK {
		t.Errorf("livez %d %s", code, says)
	}
	answer, err := http.Post("http://"+r.HTTP()+"/v1/boards:solve", "application/json", strings.NewReader(good))
	if err != nil {
		t.Fatal(err)
	}
	_ = answer.Body.Close()
	if answer.StatusCode != http.StatusOK || !answer.Close {
		t.Errorf("JSON while draining: %s, connection to be closed: %t", answer.Status, answer.Close)
	}
	late := dial(t, r.GRPC()) // a caller that has not noticed yet
	defer func() { _ = late.Close() }()
	if _, err := ripwrightv1.NewRipServiceClient(late).SolveBoard(t.Context(), request(t)); err != nil {
		t.Errorf("gRPC while draining: %v", err)
	}
	r.Halt()
	r.Halt()
	if err := <-r.ended; !errors.Is(err, ErrCutOff) {
		t.Errorf("halted: %v", err)
	}
	if c, err := net.Dial("tcp", r.HTTP()); err == nil {
		_ = c.Close()
		t.Error("still listening")
	}
}

// underWay starts a JSON call and returns its connection once the server waits for the
// body.
func underWay(t *testing.T, r *replica) (net.Conn, *bufio.Reader) {
	t.Helper()
	conn, err := net.Dial("tcp", r.HTTP())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	_, err = fmt.Fprintf(conn, "POST /v1/boards:solve HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nExpect: 100-continue\r\nContent-Length: %d\r\n\r\n", len(good))
	if err != nil {
		t.Fatal(err)
	}
	from := bufio.NewReader(conn)
	for _, want := range []string{"HTTP/1.1 100 Continue\r\n", "\r\n"} {
		if line, err := from.ReadString('\n'); err != nil || line != want {
			t.Fatalf("%q %v, want %q", line, err, want)
		}
	}
	return conn, from
}

// A call under way ends normally even if it needs the gRPC side only after the listeners
// have closed. A watch of the health does not delay the end.
func TestCallsUnderWayEnd(t *testing.T) {
	noLeaks(t)
	r := run(t, loopback(Config{Drain: time.Hour}))
	conn := dial(t, r.GRPC())
	defer func() { _ = conn.Close() }()
	watch, err := grpc_health_v1.NewHealthClient(conn).Watch(t.Context(), &grpc_health_v1.HealthCheckRequest{})
	if err != nil {
		t.Fatal(err)
	}
	call, from := underWay(t, r)
	r.stop()
	until(t, "the listeners to close", func() bool {
		c, err := net.Dial("tcp", r.HTTP())
		if err == nil {
			_ = c.Close()
		}
		return err != nil
	})
	for {
		if _, err := watch.Recv(); err != nil {
			if status.Code(err) != codes.Unavailable {
				t.Errorf("the watch ends with %v", err)
			}
			break
		}
	}
	if _, err := io.WriteString(call, good); err != nil {
		t.Fatal(err)
	}
	answer, err := http.ReadResponse(from, nil)
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Fatalf("the call under way got %v %v", answer, err)
	}
	_ = answer.Body.Close()
	if err := <-r.ended; err != nil {
		t.Errorf("a clean drain gives %v", err)
	}
}

// Calls that do not end in time are cut off, and the server reports it.
func TestDrainHasADeadline(t *testing.T) {
	noLeaks(t)
	r := run(t, loopback(Config{Drain: 50 * time.Millisecond}))
	_, from := underWay(t, r)
	r.stop()
	if err := <-r.ended; !errors.Is(err, ErrCutOff) {
		t.Errorf("ended with %v", err)
	}
	if answer, err := http.ReadResponse(from, nil); err == nil {
		_ = answer.Body.Close()
		if answer.StatusCode == http.StatusOK {
			t.Error("a call without its body was answered")
		}
	}
}
