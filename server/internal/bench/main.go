// Command bench measures what the service adds to the search, against the
// targets that the project has set itself: a line each, both sides in one run.
//
//	go run ./server/internal/bench [start|unary|stream|quote|callers|beside|memory ...]
//
// Without an argument it does all of them.
package main

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/protobuf/encoding/protojson"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/wire"
)

const sawFile = "testdata/demo/saws.json"

// grpcAt and httpAt are the addresses of the service, on free ports.
var grpcAt, httpAt string

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run() error {
	for _, at := range []*string{&grpcAt, &httpAt} {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			return err
		}
		*at = l.Addr().String()
		if err := l.Close(); err != nil {
			return err
		}
	}
	dir, err := os.MkdirTemp("", "bench")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	server := filepath.Join(dir, "server")
	if out, err := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", server, "./server").CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	if wanted("start") {
		var starts []time.Duration
		for range 11 {
			p, took, err := start(server)
			if err != nil {
				return err
			}
			starts = append(starts, took)
			stop(p)
		}
		row("start to serving", median(starts), 100*time.Millisecond)
	}
	p, _, err := start(server)
	if err != nil {
		return err
	}
	defer stop(p)
	codec.Register()
	conn, err := grpc.NewClient(grpcAt, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close() }()
	for _, part := range parts {
		if wanted(part.name) {
			if err := part.do(conn, p.Process.Pid); err != nil {
				return fmt.Errorf("%s: %w", part.name, err)
			}
		}
	}
	return nil
}

// parts of the measurement after the start, in their order.
var parts = []struct {
	name string
	do   func(conn *grpc.ClientConn, pid int) error
}{
	{"unary", on(unary)}, {"unary", processor}, {"stream", on(stream)}, {"quote", on(quote)}, {"callers", on(callers)}, {"beside", on(beside)}, {"memory", pace},
}

func on(f func(*grpc.ClientConn) error) func(*grpc.ClientConn, int) error {
	return func(conn *grpc.ClientConn, _ int) error { return f(conn) }
}

// wanted reports whether a part is asked for; without arguments all are.
func wanted(name string) bool { return len(os.Args) == 1 || slices.Contains(os.Args[1:], name) }

// hasty gives up on a port that another process holds but does not serve.
var hasty = http.Client{Timeout: time.Second}

// start runs the service and waits until it is ready.
func start(server string) (*exec.Cmd, time.Duration, error) {
	p := exec.Command(server, "--grpc", grpcAt, "--http", httpAt, "--drain-delay", "0s", "--log-level", "error", "--saws", sawFile)
	begin := time.Now()
	if err := p.Start(); err != nil {
		return nil, 0, err
	}
	for time.Since(begin) < 10*time.Second {
		if answer, err := hasty.Get("http://" + httpAt + "/readyz"); err == nil {
			_ = answer.Body.Close()
			if answer.StatusCode == http.StatusOK {
				return p, time.Since(begin), nil
			}
		}
		time.Sleep(time.Millisecond)
	}
	stop(p)
	return nil, 0, fmt.Errorf("%s does not serve", server)
}

func stop(p *exec.Cmd) {
	_ = p.Process.Signal(os.Interrupt)
	_ = p.Wait() // its exit status means nothing here
	http.DefaultClient.CloseIdleConnections()
}

// pace sends 1,000 boards a second for ten seconds and measures the memory.
func pace(conn *grpc.ClientConn, pid int) error {
	ask, _, err := board()
	if err != nil {
		return err
	}
	client := ripwrightv1.NewRipServiceClient(conn)
	const callers, each = 8, 1250
	failed := make(chan error, callers)
	begin := time.Now()
	for range callers {
		go func() {
			next := time.Now()
			for range each {
				time.Sleep(time.Until(next))
				next = next.Add(8 * time.Millisecond)
				if _, err := client.SolveBoard(context.Background(), ask); err != nil {
					failed <- err
					return
				}
			}
			failed <- nil
		}()
	}
	for range callers {
		if err := <-failed; err != nil {
			return err
		}
	}
	took := time.Since(begin)
	mb, err := resident(pid)
	if err != nil {
		return err
	}
	fmt.Printf("%-42s measured %7.1f MB at %.0f boards a second  wanted 64 MB  %s\n", "resident memory", mb, callers*each/took.Seconds(), verdict(mb <= 64))
	return nil
}

func resident(pid int) (float64, error) {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0, err
	}
	for _, line := range strings.Split(string(raw), "\n") {
		if kb, ok := strings.CutPrefix(line, "VmRSS:"); ok {
			v, err := strconv.ParseFloat(strings.Fields(kb)[0], 64)
			return v / 1000, err
		}
	}
	return 0, fmt.Errorf("no resident size of process %d", pid)
}

// board is the demo's first board with its order on one of its saws.
func board() (*ripwrightv1.SolveBoardRequest, *wire.Job, error) {
	lines, err := os.ReadFile("testdata/demo/boards.jsonl")
	if err != nil {
		return nil, nil, err
	}
	text, err := os.ReadFile("testdata/demo/order.json")
	if err != nil {
		return nil, nil, err
	}
	ask := &ripwrightv1.SolveBoardRequest{Board: &ripwrightv1.Board{}, Order: &ripwrightv1.CutOrder{},
		SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "two fixed, two moving"}}
	first, _, _ := strings.Cut(string(lines), "\n")
	if err := protojson.Unmarshal([]byte(first), ask.Board); err != nil {
		return nil, nil, err
	}
	if err := protojson.Unmarshal(text, ask.Order); err != nil {
		return nil, nil, err
	}
	text, err = os.ReadFile(sawFile)
	if err != nil {
		return nil, nil, err
	}
	saws, err := fleet.Parse("saws.json", text)
	if err != nil {
		return nil, nil, err
	}
	j, err := wire.Solve(ask, saws)
	return ask, j, err
}

func median(all []time.Duration) time.Duration {
	slices.Sort(all)
	return all[len(all)/2]
}

// verdict says whether a target holds.
func verdict(holds bool) string {
	if holds {
		return "holds"
	}
	return "falls short"
}

func row(name string, got, want time.Duration) {
	fmt.Printf("%-42s measured %10v  wanted %8v  %s (%.2f of it)\n", name, got.Round(time.Microsecond), want, verdict(got <= want), float64(got)/float64(want))
}
