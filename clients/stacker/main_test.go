package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/service"
)

// Everything wrong with the flags is reported by flag, with what would be right.
func TestWrongFlags(t *testing.T) {
	for args, want := range map[string][]string{
		"--show soon --units cm --fence up --stale 5ms": {"--show is \"soon\"; must be confirmed or planned", "--units is \"cm\"", "--fence is \"up\"", "--stale is 5ms; must be 1s to 1h"},
		"--http 0.0.0.0:80":                             {"--http is \"0.0.0.0:80\", beyond this machine and without TLS; add --plaintext"},
		"--service mill.example:7420":                   {"--service is \"mill.example:7420\""},
		"--grpc 7430":                                   {"--grpc is \"7430\"; must be HOST:PORT"},
		"--tls-ca /nonexistent/ca.pem":                  {"--tls-ca: open /nonexistent/ca.pem"},
		"now":                                           {`unexpected argument "now"`},
		"--grcp 1":                                      {"unknown flag: --grcp"},
	} {
		err := start(t.Context(), strings.Fields(args), io.Discard)
		if err == nil {
			t.Errorf("%s: accepted", args)
			continue
		}
		for _, says := range want {
			if !strings.Contains(err.Error(), says) {
				t.Errorf("%s: %v; want %s", args, err, says)
			}
		}
	}
}

func guide(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../stacker.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The guide's table has every flag with its default.
func TestGuideHasEveryFlag(t *testing.T) {
	text := guide(t)
	var f flags
	f.set().VisitAll(func(f *pflag.Flag) {
		standard := strings.TrimSuffix(f.DefValue, "0s")
		if f.DefValue == "" {
			standard = "none"
		}
		if !regexp.MustCompile(fmt.Sprintf("\\| `--%s`.*\\| %s \\|", f.Name, regexp.QuoteMeta(standard))).MatchString(text) {
			t.Errorf("the guide lacks --%s with its default %s", f.Name, standard)
		}
	})
}

// The guide's commands, on free ports, show strips.
func TestGuideCommands(t *testing.T) {
	_, commands, _ := strings.Cut(guide(t), "```sh\n")
	commands, _, _ = strings.Cut(commands, "```")
	lines := strings.Split(strings.TrimSpace(commands), "\n")
	if len(lines) != 3 || lines[0] != "go run ./server" || lines[1] != "go run ./clients/stacker" || !strings.HasPrefix(lines[2], "go run ./clients/linesim --grpc 127.0.0.1:7430 ") {
		t.Fatalf("the commands are %q", lines)
	}
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second,
		Service: service.Config{Solves: 1, Waiting: 16, Longest: 10 * time.Second}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 2)
	go func() { ended <- a.Run(ctx) }()
	said, tell := io.Pipe()
	args := append(strings.Fields(lines[1])[3:], "--service", a.GRPC(), "--grpc", "127.0.0.1:0", "--http", "127.0.0.1:0", "--show", "planned")
	go func() { ended <- start(ctx, args, tell) }()
	defer func() {
		stop()
		for range 2 {
			if err := <-ended; err != nil {
				t.Error(err)
			}
		}
	}()
	text, err := bufio.NewReader(said).ReadString('\n')
	m := regexp.MustCompile(`connects to (\S+); the screen is (\S+)`).FindStringSubmatch(text)
	if err != nil || m == nil {
		t.Fatalf("%q %v", text, err)
	}
	sim, err := replicas.Program(t.TempDir(), "./clients/linesim")
	if err != nil {
		t.Fatal(err)
	}
	line := exec.CommandContext(ctx, sim, strings.Fields(strings.ReplaceAll(lines[2], "127.0.0.1:7430", m[1]))[3:]...)
	if err := line.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = line.Process.Kill(); _ = line.Wait() }()
	answer, err := http.Get(m[2] + "events")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	events := bufio.NewScanner(answer.Body)
	for until := time.Now().Add(30 * time.Second); time.Now().Before(until) && events.Scan(); {
		if strings.Contains(events.Text(), `"state":"shown"`) && strings.Contains(events.Text(), `"stack":"`) {
			return
		}
	}
	t.Error("no strips were shown")
}
