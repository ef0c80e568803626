package hostile

import (
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protowire"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// within is the memory limit in a container of 512 MiB.
const within = "GOMEMLIMIT"

// many is JSON and protobuf of one list with n empty entries.
func many(head, one, tail string, n int) string {
	return head + one + strings.Repeat(","+one, n-1) + tail
}

// raw is a message that is sent unchanged.
type raw []byte

type rawCodec struct{}

func (rawCodec) Marshal(v any) ([]byte, error)      { return *v.(*raw), nil }
func (rawCodec) Unmarshal(data []byte, v any) error { *v.(*raw) = data; return nil }
func (rawCodec) Name() string                       { return "proto" }

// Short bodies that would grow large are refused before they do, over both protocols: a
// caller sends many at once, and the service stays as small as it was.
func TestBodiesThatGrow(t *testing.T) {
	t.Setenv(within, "460MiB")
	r := serve(t, "--waiting", "1000", "--plan-waiting", "1000")
	defer onlooker(t, r)()
	before := peak(t, r)
	station := protowire.AppendBytes(protowire.AppendTag(nil, 5, protowire.BytesType), nil)
	board := func(n int) []byte { return []byte(strings.Repeat(string(station), n)) }
	field := func(n protowire.Number, of []byte) []byte {
		return protowire.AppendBytes(protowire.AppendTag(nil, n, protowire.BytesType), of)
	}
	listed := strings.Repeat(string(field(1, field(1, board(2000)))), 900)
	attacks := []struct {
		what, path, method, json string
		wire                     []byte
		says                     string
	}{
		{"a list", "/v1/boards:solve", ripwrightv1.RipService_SolveBoard_FullMethodName, many(`{"board":{"stations":[`, "{}", "]}}", 1_300_000), field(1, board(1_300_000)),
			"board.stations has 1300000 entries; must have 1 to 2000"},
		{"lists of lists", "/v1/orders:quote", ripwrightv1.PlanningService_QuoteOrder_FullMethodName,
			many(`{"lumber":{"lots":[{"listed":{"boards":[`, many(`{"board":{"stations":[`, "{}", "]}}", 2000), "]}}]}}", 650),
			field(4, field(1, field(3, []byte(listed)))), "body takes more than"},
		{"brackets", "/v1/boards:solve", "", strings.Repeat("[", 4_000_000), nil, "nested more than 32 deep"},
		{"objects", "/v1/boards:solve", "", strings.Repeat(`{"board":`, 440_000), nil, "nested more than 32 deep"},
		{"keys", "/v1/boards:solve", "", `{"board":{` + strings.Repeat(`"stations":[],`, 200_000) + `"x":1}}`, nil, "is given twice"},
	}
	conn, err := grpc.NewClient(r.GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	atOnce := 2
	if every {
		atOnce = 4
	}
	for _, a := range attacks {
		var each sync.WaitGroup
		for range atOnce {
			each.Go(func() {
				answer, err := http.Post("http://"+r.HTTP+a.path, "application/json", strings.NewReader(a.json))
				if err != nil {
					t.Errorf("%s: %v", a.what, err)
					return
				}
				defer func() { _ = answer.Body.Close() }()
				text, _ := io.ReadAll(answer.Body)
				if busy := answer.StatusCode == http.StatusTooManyRequests; !busy && (answer.StatusCode != http.StatusBadRequest || !strings.Contains(string(text), a.says)) {
					t.Errorf("%s: %d %.300s", a.what, answer.StatusCode, text)
				}
			})
			if a.wire == nil {
				continue
			}
			each.Go(func() {
				ask, answer := raw(a.wire), raw(nil)
				err := conn.Invoke(t.Context(), a.method, &ask, &answer, grpc.ForceCodec(rawCodec{}))
				if code := status.Code(err); code != codes.ResourceExhausted && (code != codes.InvalidArgument || !strings.Contains(fmt.Sprint(err), a.says)) {
					t.Errorf("%s: %v", a.what, err)
				}
			})
		}
		each.Wait()
		honest(t, r)
		now := peak(t, r)
		t.Logf("%s: %.0f MB at most, %.0f MB before", a.what, now, before)
	}
	// For each at once, the bodies over both protocols are 8 MB, and exist twice as they
	// grow.
	if mb := peak(t, r); mb > before+55*float64(atOnce) {
		t.Errorf("%.0f MB, before %.0f MB", mb, before)
	}
}
