package hostile

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os/exec"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/protobuf/encoding/protojson"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/cases/hard"
)

// calling connects from an address, as another machine would.
func calling(t *testing.T, address string, r *replicas.Replica) *grpc.ClientConn {
	t.Helper()
	d := &net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}}
	conn, err := grpc.NewClient("passthrough:///"+r.GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, at string) (net.Conn, error) { return d.DialContext(ctx, "tcp", at) }))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return conn
}

// opened starts a line that plans the given number of boards and confirms none.
func opened(t *testing.T, address, run string, r *replicas.Replica, boards int32) {
	t.Helper()
	stream, err := ripwrightv1.NewRipServiceClient(calling(t, address, r)).RunLine(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	set := sim.SetUp(run)
	set.Order.OrderId = "order of " + address
	for n := range boards + 1 {
		m := &ripwrightv1.RunLineRequest{Sequence: n + 1, Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: set}}
		if n > 0 {
			m.Message = &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: sim.Board(1, int(n))}}
		}
		if err := stream.Send(m); err != nil {
			t.Fatal(err)
		}
		if _, err := stream.Recv(); err != nil {
			t.Fatal(err)
		}
	}
}

// One call shows which lines run, whose they are and how far they are, which queue is
// full and of whose boards, and nothing that a terminal would interpret.
func TestWhatIsAtWork(t *testing.T) {
	ripctl := built(t, "./clients/ripctl")
	r := serve(t, "--solves", "1", "--waiting", "7", "--caller-waiting", "7", "--longest-solve", "1s", "--health", "127.0.0.1:0", "--health-metrics")
	opened(t, "127.0.0.21", "east", r, 3)
	opened(t, "127.0.0.22", "west\x1b[2J\tend", r, 0)
	if _, err := ripwrightv1.NewRipServiceClient(calling(t, "127.0.0.23", r)).RunLine(t.Context()); err != nil { // and then sends nothing
		t.Fatal(err)
	}
	text, err := hard.Files.ReadFile("memory-54-gb.json")
	if err != nil {
		t.Fatal(err)
	}
	long := &ripwrightv1.SolveBoardRequest{}
	if err := protojson.Unmarshal(text, long); err != nil {
		t.Fatal(err)
	}
	if long.Options != nil {
		long.Options.TimeLimitMs = nil
	}
	flooding := ripwrightv1.NewRipServiceClient(calling(t, badAddress, r))
	for range 5 {
		go func() { // ends with the test
			for t.Context().Err() == nil {
				_, _ = flooding.SolveBoard(t.Context(), long)
			}
		}()
	}
	var seen struct {
		Queues []struct{ Waiting int }
		Lines  []struct{ Caller string }
	}
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
		code, page := asks(t, "127.0.0.1", "http://"+r.Health+"/at-work")
		if code != http.StatusOK {
			t.Fatal(code, page)
		}
		if err := json.Unmarshal([]byte(page), &seen); err != nil {
			t.Fatal(err, page)
		}
		if len(seen.Lines) == 3 && len(seen.Queues) == 3 && seen.Queues[0].Waiting == 4 {
			break
		}
		if time.Now().After(end) {
			t.Fatal(page)
		}
	}
	// Boards end and others come, so a count may be one more for a moment.
	var out []byte
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
		if out, err = exec.Command(ripctl, "--server", r.GRPC, "status", "--metrics", "http://"+r.Health+"/metrics").CombinedOutput(); err != nil {
			t.Fatal(err, string(out))
		}
		missing := untold(string(out))
		if len(missing) == 0 {
			break
		}
		if time.Now().After(end) {
			t.Fatalf("%s in %s", strings.Join(missing, "; "), out)
		}
	}
	if strings.Contains(string(out), "\x1b") {
		t.Error("a run's id reaches the terminal unescaped")
	}
}

// untold gives what ripctl does not report about the service.
func untold(out string) (missing []string) {
	lines := map[string]string{}
	for line := range strings.SplitSeq(out, "\n") {
		if f := strings.Fields(line); len(f) > 0 {
			if lines[f[0]] == "" {
				lines[f[0]] = strings.Join(f, " ")
			}
		}
	}
	for head, wants := range map[string][]string{
		"east":         {"address:127.0.0.21", "order of 127.0.0.21", "sim 3 0 3 of 8"},
		"west�[2J�end": {"address:127.0.0.22", "order of 127.0.0.22", "sim 0 0 0 of 8"},
		"(not":         {"(not begun) address:127.0.0.23", "never"},
		"boards":       {"boards 1 1 4 7 address:" + badAddress + " 4"},
		"calls,":       {"among them 8 1024", fmt.Sprintf("address:%s 5", badAddress)},
		"3":            {"3 lines are open"},
		"ready,":       {"ready, up for ", "revision ", "go1."},
		"heron":        {"heron 377406a4aa26dc30ee2c5db9"},
		"solves":       {"solves 1 --solves"},
	} {
		for _, want := range wants {
			if !strings.Contains(lines[head], want) {
				missing = append(missing, fmt.Sprintf("%q is missing in %q", want, lines[head]))
			}
		}
	}
	return missing
}
