package sim

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func cloneOf[M proto.Message](m M) M { return proto.CloneOf(m) }

// runWithBook is Run that gives the book as well.
func runWithBook(ctx context.Context, cfg Config) (*Report, *book, error) {
	l := newLine(cfg)
	r, err := l.run(ctx)
	return r, l.book, err
}

// process is a server of its own that can be killed.
type process struct {
	cmd     *exec.Cmd
	at, web string
}

func build(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "server")
	if out, err := exec.Command("go", "build", "-o", binary, "github.com/ripwright/ripwright/server").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return binary
}

// launch starts a server on a free port and waits until it says where it serves.
func launch(t *testing.T, binary string) *process {
	t.Helper()
	cmd := exec.Command(binary, "--grpc", "127.0.0.1:0", "--http", "127.0.0.1:0")
	// What is set for this test is no setting of the server's.
	cmd.Env = slices.DeleteFunc(os.Environ(), func(v string) bool { return strings.HasPrefix(v, "RIPWRIGHT_") })
	out, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		var l struct{ Msg, GRPC, HTTP string }
		if json.Unmarshal(lines.Bytes(), &l) == nil && l.Msg == "serving" {
			go func() {
				for lines.Scan() { // its log must not fill the pipe
				}
			}()
			return &process{cmd, l.GRPC, l.HTTP}
		}
	}
	t.Fatal("the server ended before it served")
	return nil
}

// kill ends it as kill -9 does.
func (p *process) kill() {
	_ = p.cmd.Process.Kill()
	_ = p.cmd.Wait() // killed
}

// Servers that are killed with SIGKILL at random points lose nothing and count
// nothing twice. RIPWRIGHT_KILLS says for how many seeds; none without it.
func TestKilled(t *testing.T) {
	seeds, _ := strconv.Atoi(os.Getenv("RIPWRIGHT_KILLS"))
	if seeds == 0 {
		t.Skip("RIPWRIGHT_KILLS is not set")
	}
	binary := build(t)
	kills := 0
	for seed := range uint64(seeds) {
		rng := rand.New(rand.NewPCG(seed, 77))
		servers := []*process{launch(t, binary), launch(t, binary)}
		turn := 0
		cfg := Config{Seed: 1000 + seed, Boards: 80, SetUp: SetUp(fmt.Sprint("killed ", seed)), Patience: time.Minute, Breaks: 0.08}
		if seed%2 == 1 {
			cfg.SetUp.ValuePlanning = &ripwrightv1.ValuePlanning{EveryBoards: 4, Expected: []*ripwrightv1.Board{Board(seed, 1000)}}
		}
		cfg.Dial = func(context.Context) (ripwrightv1.RipServiceClient, func(), error) {
			turn++
			return dial(servers[turn%2].at)
		}
		cfg.Broke = func() {
			time.Sleep(time.Duration(rng.IntN(8)) * time.Millisecond) // somewhere in its work
			servers[turn%2].kill()
			servers[turn%2] = launch(t, binary)
			kills++
		}
		r, err := Run(t.Context(), cfg)
		for _, s := range servers {
			s.kill()
		}
		sound(t, r, err, 80)
		if r.Values != nil && r.Values.GetNumber() == 0 {
			t.Errorf("no values were planned: %v", r.Values)
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if kills < seeds {
		t.Errorf("only %d kills in %d runs", kills, seeds)
	}
	t.Logf("%d runs, %d kills", seeds, kills)
}
