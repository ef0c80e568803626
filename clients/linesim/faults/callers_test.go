package faults

import (
	"context"
	"fmt"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/backoff"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	_ "google.golang.org/grpc/health" // lets clients check a replica's health
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/resolver"
	"google.golang.org/grpc/resolver/manual"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// serviceConfig is the one that deploy/SCALING.md gives to callers.
func serviceConfig(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../../deploy/SCALING.md")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile("(?s)```json\n(\\{.*?)```").FindSubmatch(text)
	if m == nil || !strings.Contains(string(m[1]), "retryPolicy") {
		t.Fatal("deploy/SCALING.md has no service config with a retry policy")
	}
	return string(m[1])
}

// dial connects to all replicas as deploy/SCALING.md says, with the answers of the name
// server set by hand.
func dial(t *testing.T, at ...string) *grpc.ClientConn {
	t.Helper()
	names := manual.NewBuilderWithScheme("replicas")
	var all []resolver.Address
	for _, a := range at {
		all = append(all, resolver.Address{Addr: a})
	}
	names.InitialState(resolver.State{Addresses: all})
	conn, err := grpc.NewClient("replicas:///ripwright", grpc.WithResolvers(names), grpc.WithDefaultServiceConfig(serviceConfig(t)),
		grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithKeepaliveParams(keepalive.ClientParameters{Time: 10 * time.Second, Timeout: time.Second}),
		grpc.WithConnectParams(grpc.ConnectParams{MinConnectTimeout: time.Second, Backoff: backoff.Config{
			BaseDelay: 20 * time.Millisecond, Multiplier: 1.5, MaxDelay: 200 * time.Millisecond}}))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return conn
}

// asker sends boards by unary calls, each with the time limit of a line.
type asker struct {
	client ripwrightv1.RipServiceClient
	within time.Duration // for a board
	each   time.Duration // for one try
	setUp  *ripwrightv1.LineSetUp
	known  *sync.Map // answers by board, on which all replicas must agree
}

// board sends the n-th board until it is planned. The error reports an answer other than
// those documented.
func (a *asker) board(seed uint64, n int) (tries int, slow time.Duration, err error) {
	b := sim.Board(seed, n)
	if b.GetLengthMm() > 10_000 { // one that the saw does not take
		b = sim.Board(seed, n+1)
	}
	q := &ripwrightv1.SolveBoardRequest{Board: b, Order: a.setUp.GetOrder(), Options: a.setUp.GetOptions(),
		SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: a.setUp.GetSaw()}}
	began := time.Now()
	for {
		tries++
		// Longer each time: a busy service must not be kept busy with calls that are
		// already given up.
		ctx, cancel := context.WithTimeout(context.Background(), a.each<<min(tries-1, 3))
		r, err := a.client.SolveBoard(ctx, q)
		cancel()
		if err == nil {
			return tries, time.Since(began), a.compare(n, r)
		}
		wait, err := documented(err)
		if err != nil {
			return tries, time.Since(began), err
		}
		if time.Since(began) > a.within {
			return tries, time.Since(began), fmt.Errorf("board %d has no answer after %d tries", n, tries)
		}
		time.Sleep(wait)
	}
}

func (a *asker) compare(n int, r *ripwrightv1.SolveBoardResponse) error {
	if !r.GetProof().GetProven() { // its time ran out
		return nil
	}
	r.SolveTimeUs, r.GetProof().Work = 0, 0
	before, was := a.known.LoadOrStore(n, r)
	if was && !proto.Equal(before.(*ripwrightv1.SolveBoardResponse), r) {
		return fmt.Errorf("board %d got two answers:\n%v\n%v", n, before, r)
	}
	return nil
}

// documented gives how long to wait after a documented error, or the error if it is not
// one.
func documented(err error) (time.Duration, error) {
	s := status.Convert(err)
	switch s.Code() {
	case codes.Unavailable, codes.DeadlineExceeded, codes.Canceled:
		return 5 * time.Millisecond, nil
	case codes.ResourceExhausted:
		for _, d := range s.Details() {
			if r, ok := d.(*errdetails.RetryInfo); ok && r.GetRetryDelay().AsDuration() > 0 {
				return r.GetRetryDelay().AsDuration(), nil
			}
		}
	}
	return 0, err
}

// flood fills a replica's queue for a while.
func flood(t *testing.T, at string, long time.Duration) {
	conn, err := grpc.NewClient(at, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Error(err)
		return
	}
	defer func() { _ = conn.Close() }()
	client, setUp := ripwrightv1.NewRipServiceClient(conn), sim.SetUp("flood")
	ctx, cancel := context.WithTimeout(context.Background(), long)
	defer cancel()
	var callers sync.WaitGroup
	for i := range 32 {
		callers.Go(func() {
			for ctx.Err() == nil {
				_, err := client.SolveBoard(ctx, &ripwrightv1.SolveBoardRequest{Board: sim.Board(uint64(i), 1), Order: setUp.GetOrder(),
					Options: &ripwrightv1.SolveOptions{RunnersUp: 20}, SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: setUp.GetSaw()}})
				if err == nil {
					continue
				}
				if _, err = documented(err); err != nil {
					t.Errorf("a call of the flood ended with %v", err)
					return
				}
			}
		})
	}
	callers.Wait()
}
