package command

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"go.uber.org/goleak"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/secure"
	"github.com/ripwright/ripwright/server/service"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// bench is a service and a folder with the demo mill's files.
type bench struct {
	dir, server string
}

func open(t *testing.T) *bench { return openWith(t, nil, nil) }

func openWith(t *testing.T, keys *secure.Keys, tokens *secure.Tokens) *bench {
	t.Helper()
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second, Keys: keys, Tokens: tokens,
		Service: service.Config{Solves: 2, Waiting: 64, Longest: time.Minute}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	b := &bench{filepath.Join(t.TempDir(), "mill"), a.GRPC()}
	b.run(t, 0, "demo", b.dir)
	return b
}

// run runs ripctl and sees that it ends with a status. MILL in arguments is the
// folder.
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

// about names the saw, the order and the boards.
func about(c string, more ...string) []string {
	return append([]string{c, "--saw-file", "MILL/saws.yaml", "--order", "MILL/order.yaml", "MILL/boards.jsonl"}, more...)
}
