package command

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"go.uber.org/goleak"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/server/app"
	filed "github.com/ripwright/ripwright/server/record"
	"github.com/ripwright/ripwright/server/service"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// bench is a service and a folder with the demo mill's files.
type bench struct {
	dir, server, record string
	// stop ends the service before the test ends.
	stop func()
	web  string // where JSON callers call
}

func open(t *testing.T) *bench { return openWith(t, app.Config{}) }

// openRecording is open with a service that records requests.
func openRecording(t *testing.T) *bench {
	return openWith(t, app.Config{Record: filed.File{Path: filepath.Join(t.TempDir(), "record.jsonl")}, RecordOneIn: 1})
}

func openWith(t *testing.T, cfg app.Config) *bench {
	t.Helper()
	cfg.GRPC, cfg.HTTP, cfg.Drain = "127.0.0.1:0", "127.0.0.1:0", 5*time.Second
	cfg.Service = service.Config{Solves: 2, Waiting: 64, Longest: time.Minute}
	a, err := app.New(cfg, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	end := sync.OnceFunc(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	t.Cleanup(end)
	b := &bench{filepath.Join(t.TempDir(), "mill"), a.GRPC(), cfg.Record.Path, end, a.HTTP()}
	b.run(t, 0, "demo", b.dir)
	return b
}

// run runs ripctl and checks its exit status. MILL in arguments is the folder.
func (b *bench) run(t *testing.T, want int, args ...string) (out, errs string) {
	t.Helper()
	return b.pipe(t, want, "", args...)
}

func (b *bench) pipe(t *testing.T, want int, in string, args ...string) (string, string) {
	t.Helper()
	all := []string{"--server", b.server, "--wait", "1m"}
	for _, a := range args {
		all = append(all, strings.ReplaceAll(a, "MILL", b.dir))
	}
	var out, errs bytes.Buffer
	got := Run(t.Context(), all, strings.NewReader(in), &out, &errs)
	if got != want {
		t.Errorf("%q ends with %d, want %d\n%s%s", args, got, want, out.String(), errs.String())
	}
	if (want == 0) != (errs.Len() == 0) {
		t.Errorf("%q ends with %d and says on standard error: %q", args, want, errs.String())
	}
	return out.String(), errs.String()
}

// complete requests completions like a shell, which does not read standard error.
func (b *bench) complete(t *testing.T, args ...string) (string, string) {
	t.Helper()
	var out, errs bytes.Buffer
	if got := Run(t.Context(), args, nil, &out, &errs); got != 0 {
		t.Errorf("%q ends with %d: %s", args, got, errs.String())
	}
	return out.String(), errs.String()
}

func (b *bench) write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(b.dir, name), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func (b *bench) read(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(b.dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// about adds the saw, the order and the boards to a command.
func about(c string, more ...string) []string {
	return append([]string{c, "--saw-file", "MILL/saws.yaml", "--order", "MILL/order.yaml", "MILL/boards.jsonl"}, more...)
}
