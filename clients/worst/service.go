package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/stats"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/requests"
)

// memoryLimit is the limit in the guides for a container of 512 MiB.
const memoryLimit = "460MiB"

// mostBody is the longest body that the service accepts by default.
const mostBody = 4 << 20

// errLong says that a request is longer than that as JSON.
var errLong = errors.New("is too long as JSON")

// service is a running service.
type service struct {
	*replicas.Replica
	conn *grpc.ClientConn
	dir  string
	sent sending
}

// sending records when the last request was written; the service has it whole some time
// later.
type sending struct{ at atomic.Pointer[time.Time] }

// HandleRPC implements stats.Handler.
func (s *sending) HandleRPC(_ context.Context, e stats.RPCStats) {
	if out, is := e.(*stats.OutPayload); is {
		s.at.Store(&out.SentTime)
	}
}

// TagRPC implements stats.Handler.
func (*sending) TagRPC(ctx context.Context, _ *stats.RPCTagInfo) context.Context { return ctx }

// TagConn implements stats.Handler.
func (*sending) TagConn(ctx context.Context, _ *stats.ConnTagInfo) context.Context { return ctx }

// HandleConn implements stats.Handler.
func (*sending) HandleConn(context.Context, stats.ConnStats) {}

// start builds and starts it, with default settings except for args; with record it
// records all boards.
func start(record bool, args ...string) (*service, error) {
	dir, err := os.MkdirTemp("", "worst")
	if err != nil {
		return nil, err
	}
	s := &service{dir: dir}
	program, err := replicas.Build(dir)
	if err == nil {
		err = os.Setenv("GOMEMLIMIT", memoryLimit)
	}
	if record {
		args = append(args, "--record", filepath.Join(dir, "boards.jsonl"))
	}
	if err == nil {
		s.Replica, err = replicas.Launch(program, args...)
	}
	if err == nil {
		s.conn, err = grpc.NewClient(s.GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()), grpc.WithStatsHandler(&s.sent))
	}
	if err != nil {
		s.end()
		return nil, err
	}
	return s, nil
}

// end kills it.
func (s *service) end() {
	if s.conn != nil {
		_ = s.conn.Close()
	}
	if s.Replica != nil {
		s.Kill()
	}
	_ = os.RemoveAll(s.dir)
}

func (s *service) boards() ripwrightv1.RipServiceClient {
	return ripwrightv1.NewRipServiceClient(s.conn)
}

// paths are the paths of the calls for JSON.
var paths = map[string]string{
	"RipService/SolveBoard": "/v1/boards:solve", "RipService/CheckPlan": "/v1/boards:check", "RipService/DrawPlan": "/v1/boards:draw",
	"PlanningService/PlanValues": "/v1/orders:planValues", "PlanningService/QuoteOrder": "/v1/orders:quote", "PlanningService/PlanArbor": "/v1/arbors:plan",
	"PlanningService/WatchQuote":     "/v1/orders:watchQuote",
	"PlanningService/SequenceOrders": "/v1/orders:sequence", "PlanningService/ShareOrder": "/v1/orders:share", "TallyService/TallyPack": "/v1/packs:tally",
	"RipService/ConfirmCut": "/v1/cuts:confirm",
}

// post sends a request as JSON. The error has the status that gRPC callers get.
func (s *service) post(ctx context.Context, c *requests.Call, request proto.Message) error {
	body, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(request)
	if err != nil {
		return err
	}
	if len(body) > mostBody {
		return errLong
	}
	return s.postText(ctx, paths[c.Name], body)
}

func (s *service) postText(ctx context.Context, path string, body []byte) error {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://"+s.HTTP+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return err
	}
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return err
	}
	code := map[int]codes.Code{http.StatusOK: codes.OK, http.StatusBadRequest: codes.InvalidArgument, http.StatusTooManyRequests: codes.ResourceExhausted,
		http.StatusRequestEntityTooLarge: codes.InvalidArgument, http.StatusGatewayTimeout: codes.DeadlineExceeded}
	if c, known := code[answer.StatusCode]; known {
		return status.Errorf(c, "%s", text[:min(len(text), 300)])
	}
	return fmt.Errorf("%s: %s", answer.Status, text[:min(len(text), 300)])
}
