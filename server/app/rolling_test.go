package app

import (
	"context"
	"io"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/backoff"
	"google.golang.org/grpc/peer"
	"google.golang.org/grpc/resolver"
	"google.golang.org/grpc/resolver/manual"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// balanced is the part of the service config for gRPC callers, in deploy/SCALING.md, with
// which no call is lost.
const balanced = `{
  "loadBalancingConfig": [{"round_robin": {}}],
  "healthCheckConfig": {"serviceName": "ripwright.v1.RipService"}
}`

// light is a board that is solved quickly, so that the test makes many calls.
const light = `{"saw_name":"plover","order":{"items":[{"item_id":"a","width_mm":60,"value":1}]},
 "board":{"length_mm":2000,"stations":[{"far_mm":200}]}}`

// Two replicas, restarted in turn under load, lose no call, neither of gRPC callers who
// follow the health service nor of JSON callers who ask for readiness. No call is
// retried. Each delay ends when the last caller has noticed, which is its purpose and
// takes any time on a busy machine.
func TestRollingRestartLosesNoCall(t *testing.T) {
	noLeaks(t)
	cfg := Config{DrainDelay: time.Hour, Drain: 30 * time.Second}
	replicas := []*leaver{leave(t, loopback(cfg)), leave(t, loopback(cfg))}
	var grpcAt []resolver.Address
	var httpAt []string
	for _, r := range replicas {
		grpcAt = append(grpcAt, resolver.Address{Addr: r.GRPC()})
		httpAt = append(httpAt, r.HTTP())
	}

	names := manual.NewBuilderWithScheme("replicas")
	names.InitialState(resolver.State{Addresses: grpcAt})
	conn := dial(t, "replicas:///ripwright", grpc.WithResolvers(names), grpc.WithDefaultServiceConfig(balanced),
		grpc.WithConnectParams(grpc.ConnectParams{MinConnectTimeout: 5 * time.Second, Backoff: backoff.Config{
			BaseDelay: 10 * time.Millisecond, Multiplier: 1.5, MaxDelay: 50 * time.Millisecond}}))
	web := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 16}}

	ctx, stop := context.WithCancel(t.Context())
	var callers sync.WaitGroup
	var answered [2]atomic.Int64 // by gRPC and by JSON
	load := func(kind int, call func(i int) error) {
		for i := range 12 {
			callers.Go(func() {
				for n := i; ctx.Err() == nil; n++ {
					if err := call(n); err != nil {
						t.Errorf("lost a call: %v", err)
						return
					}
					answered[kind].Add(1)
				}
			})
		}
	}
	// How often each address answered gRPC callers.
	by := map[string]*atomic.Int64{grpcAt[0].Addr: {}, grpcAt[1].Addr: {}}
	client, req := ripwrightv1.NewRipServiceClient(conn), &ripwrightv1.SolveBoardRequest{}
	if err := protojson.Unmarshal([]byte(light), req); err != nil {
		t.Fatal(err)
	}
	load(0, func(int) error {
		var from peer.Peer
		_, err := client.SolveBoard(context.WithoutCancel(ctx), req, grpc.Peer(&from))
		if err == nil {
			by[from.Addr.String()].Add(1)
		}
		return err
	})
	var asking sync.RWMutex // held for reading from the question about readiness to the answer
	load(1, func(i int) error {
		asking.RLock()
		defer asking.RUnlock()
		return solveWhereReady(web, httpAt, i)
	})

	both := func() int64 { return min(answered[0].Load(), answered[1].Load()) }
	for range 2 {
		for i, old := range replicas {
			before := both()
			until(t, "both kinds of calls to be answered", func() bool { return both() > before+10 })
			old.stop()
			until(t, "readiness to go off", func() bool {
				code, _, err := fetch(web, http.MethodGet, "http://"+httpAt[i]+"/readyz", "")
				return err == nil && code == http.StatusServiceUnavailable
			})
			asking.Lock() // every caller that asked before has been answered
			close(old.noticed)
			asking.Unlock()
			if err := <-old.ended; err != nil {
				t.Fatalf("a drain under load: %v", err)
			}
			again := cfg
			again.GRPC, again.HTTP = grpcAt[i].Addr, httpAt[i]
			replicas[i] = leave(t, again)
			// The other replica must not stop before this one is in use again.
			was := by[grpcAt[i].Addr].Load()
			until(t, "the new replica to be called", func() bool { return by[grpcAt[i].Addr].Load() > was })
		}
	}
	stop()
	callers.Wait()
	_ = conn.Close()
	web.CloseIdleConnections()
	for _, r := range replicas {
		r.stop()
		close(r.noticed)
		if err := <-r.ended; err != nil {
			t.Error(err)
		}
	}
	t.Logf("%d calls by gRPC, %d by JSON", answered[0].Load(), answered[1].Load())
}

// leaver is a replica whose drain delay ends once noticed is closed.
type leaver struct {
	*replica
	noticed chan time.Time
}

func leave(t *testing.T, cfg Config) *leaver {
	t.Helper()
	l := &leaver{noticed: make(chan time.Time)}
	l.replica = runWith(t, cfg, func(a *App) {
		a.after = func(time.Duration) <-chan time.Time { return l.noticed }
	})
	return l
}

// solveWhereReady sends one board to the first ready replica from the i-th on.
func solveWhereReady(web *http.Client, at []string, i int) error {
	for ; ; i++ {
		base := "http://" + at[i%len(at)]
		if code, _, err := fetch(web, http.MethodGet, base+"/readyz", ""); err != nil || code != http.StatusOK {
			continue // draining, or gone
		}
		code, says, err := fetch(web, http.MethodPost, base+"/v1/boards:solve", light)
		if err == nil && code != http.StatusOK {
			err = &unwanted{code, says}
		}
		return err
	}
}

type unwanted struct {
	code int
	says string
}

func (u *unwanted) Error() string { return http.StatusText(u.code) + ": " + u.says }

func fetch(web *http.Client, method, url, body string) (int, string, error) {
	q, err := http.NewRequest(method, url, strings.NewReader(body))
	if err != nil {
		return 0, "", err
	}
	q.Header.Set("Content-Type", "application/json")
	r, err := web.Do(q)
	if err != nil {
		return 0, "", err
	}
	defer func() { _ = r.Body.Close() }()
	text, err := io.ReadAll(r.Body)
	return r.StatusCode, string(text), err
}
