package command

import (
	"context"
	"fmt"
	"strings"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/backoff"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/connectivity"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// remote is the connection to the service.
type remote struct {
	ripwrightv1.RipServiceClient
	conn *grpc.ClientConn
}

// mostAnswer is enough for a picture of any board.
const mostAnswer = 64 << 20

// patient retries quickly: a person is waiting.
var patient = backoff.Config{BaseDelay: 100 * time.Millisecond, Multiplier: 1.5, MaxDelay: time.Second}

func (t *tool) dial(ctx context.Context) (*remote, error) {
	options, err := dialing(&t.access, t.server)
	if err != nil {
		return nil, err
	}
	codec.Register()
	conn, err := grpc.NewClient(t.server, append(options,
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(mostAnswer)),
		grpc.WithConnectParams(grpc.ConnectParams{Backoff: patient, MinConnectTimeout: 5 * time.Second}))...)
	if err != nil {
		return nil, usage("--server is %q: %w; write it as 127.0.0.1:7420", t.server, err)
	}
	if t.wait > 0 {
		awaitReady(ctx, conn, t.wait)
	}
	return &remote{ripwrightv1.NewRipServiceClient(conn), conn}, nil
}

// awaitReady waits until the connection is ready, up to most. If it is not, the call
// reports it.
func awaitReady(ctx context.Context, conn *grpc.ClientConn, most time.Duration) {
	ctx, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	conn.Connect()
	for s := conn.GetState(); s != connectivity.Ready; s = conn.GetState() {
		if !conn.WaitForStateChange(ctx, s) {
			return
		}
		conn.Connect()
	}
}

func (s *remote) close() { _ = s.conn.Close() }

// call makes one call within the timeout and reports errors in people's words. where
// locates a field of the request in the files.
func call[Q, A any](ctx context.Context, t *tool, f func(context.Context, Q, ...grpc.CallOption) (A, error), q Q, where func(path string) string) (A, error) {
	ctx, cancel := context.WithTimeout(ctx, t.timeout)
	defer cancel()
	a, err := f(ctx, q)
	if err != nil {
		return a, t.explain(err, where)
	}
	return a, nil
}

func (t *tool) explain(err error, where func(path string) string) error {
	s := status.Convert(err)
	switch s.Code() {
	case codes.InvalidArgument:
		var lines []string
		for _, d := range s.Details() {
			if b, ok := d.(*errdetails.BadRequest); ok {
				for _, v := range b.GetFieldViolations() {
					lines = append(lines, where(v.GetField())+" "+v.GetDescription())
				}
			}
		}
		if len(lines) == 0 {
			lines = []string{s.Message()}
		}
		return input("the service refuses this:\n%s", strings.Join(lines, "\n"))
	case codes.NotFound:
		return input("%s; give a saw that the service has, or a file with yours: --saw-file saws.yaml", strings.TrimPrefix(s.Message(), "quote."))
	case codes.Unavailable:
		return coded{fmt.Errorf("nothing answers at %s (%s); start a service with go run ./server, or say where one is: --server host:port (with TLS: --tls-ca file)",
			t.server, s.Message()), statusServer}
	case codes.Unauthenticated:
		return coded{fmt.Errorf("the service wants a token that it knows (%s); give it: --token-file file", s.Message()), statusServer}
	case codes.PermissionDenied:
		return coded{fmt.Errorf("the token does not allow this (%s); use one with the scope line or office", s.Message()), statusServer}
	case codes.ResourceExhausted:
		return coded{fmt.Errorf("the service has too much to do (%s); try again shortly", s.Message()), statusServer}
	case codes.DeadlineExceeded:
		return coded{fmt.Errorf("no answer within %s; wait longer with --timeout 2m", t.timeout), statusServer}
	case codes.Canceled:
		return failed(fmt.Errorf("stopped"))
	}
	return failed(fmt.Errorf("the service failed: %s: %s", s.Code(), s.Message()))
}
