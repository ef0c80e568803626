package trial

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/workers"
)

// The paths of the calls.
const (
	solvePath = "/v1/boards:solve"
	checkPath = "/v1/boards:check"
	drawPath  = "/v1/boards:draw"

	confirmPath = "/v1/cuts:confirm"
)

// house is a whole server on loopback and callers of both kinds.
type house struct {
	rpc   ripwrightv1.RipServiceClient
	plans ripwrightv1.PlanningServiceClient
	conn  *grpc.ClientConn
	url   string

	confirmed atomic.Int64 // confirmations that were given a unique name
	turn      atomic.Int64 // calls over either transport
	log       *observer.ObservedLogs
}

// open starts a server for one test and checks that it ends without an error.
func open(t *testing.T) *house {
	t.Helper()
	core, log := observer.New(zapcore.DebugLevel)
	// With this much memory only the limits of time and work stop searches here.
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second,
		Service: service.Config{Solves: 2, Waiting: 64, Longest: time.Minute}, SearchMemory: 1 << 30,
		Workers: workers.Config{Waiting: 8}}, zap.New(core))
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	conn, err := grpc.NewClient(a.GRPC(), grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = conn.Close()
		http.DefaultClient.CloseIdleConnections()
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	h := &house{rpc: ripwrightv1.NewRipServiceClient(conn), plans: ripwrightv1.NewPlanningServiceClient(conn), conn: conn, url: "http://" + a.HTTP(), log: log}
	// Once a call over each transport was answered all its servers serve, and may stop.
	h.both(t, &ripwrightv1.SolveBoardRequest{})
	log.TakeAll()
	return h
}

// reply is an HTTP answer that was read.
type reply struct {
	code   int
	header http.Header
	body   string
}

// send makes an HTTP request as given.
func (h *house) send(t *testing.T, method, path string, header http.Header, body io.Reader) reply {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, h.url+path, body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header = header
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	var b bytes.Buffer
	if _, err := b.ReadFrom(answer.Body); err != nil {
		t.Fatal(err)
	}
	return reply{answer.StatusCode, answer.Header, b.String()}
}

// post sends JSON.
func (h *house) post(t *testing.T, path, body string) reply {
	t.Helper()
	return h.send(t, http.MethodPost, path, http.Header{"Content-Type": {"application/json"}}, strings.NewReader(body))
}
