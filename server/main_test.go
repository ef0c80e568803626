package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// The tests run the program itself: this binary, started as the server.
const beServer = "TEST_BE_SERVER"

func TestMain(m *testing.M) {
	if os.Getenv(beServer) != "" {
		main()
	}
	os.Exit(m.Run())
}

func program(t *testing.T, environ []string, args ...string) *exec.Cmd {
	t.Helper()
	c := exec.CommandContext(t.Context(), os.Args[0], args...)
	c.Env = append(environ, beServer+"=1", "GOCOVERDIR="+t.TempDir())
	return c
}

func TestExitStatus(t *testing.T) {
	dir := t.TempDir()
	saws := filepath.Join(dir, "saws.yaml")
	if err := os.WriteFile(saws, []byte("- name: alder\n  kerf: 3\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		environ, args    []string
		status           int
		out, complaining []string
	}{
		{nil, []string{"--help"}, 0, []string{"Usage: server", "--longest-solve TIME", "SIGHUP"}, nil},
		{nil, []string{"--check"}, 0, []string{"the configuration is valid", "heron"}, nil},
		{nil, []string{"--check", "--saws", "../deploy/saws.example.yaml"}, 0, []string{"linden", "rowan"}, nil},
		{[]string{"RIPWRIGHT_WAITING=7"}, []string{"--print-config"}, 0, []string{"waiting: 7 # RIPWRIGHT_WAITING\n"}, nil},
		{[]string{"RIPWRIGHT_SOLVS=1"}, []string{"--check", "--drain", "10", "--saws", saws}, 1, nil, []string{
			"--drain: is \"10\"; must be", "RIPWRIGHT_SOLVS: is not a setting; did you mean RIPWRIGHT_SOLVES?", saws + ":2: saws[0].kerf is 3 without a unit; write kerf: 3mm"}},
		{nil, []string{"--saws", saws}, 1, nil, []string{saws + ":2: saws[0].kerf "}},
		{[]string{"RIPWRIGHT_SOLVS=1"}, nil, 1, nil, []string{"RIPWRIGHT_SOLVS"}},
		{nil, []string{"--grpc", "127.0.0.1:0", "--http", "192.0.2.1:0", "--plaintext"}, 1, nil, []string{"http: listen"}}, // TEST-NET-1, RFC 5737
		{[]string{"OTEL_SERVICE_NAME=hall", "OTEL_ANYTHING=1"}, []string{"--check"}, 0, []string{"the configuration is valid"}, nil},
		{[]string{"OTEL_EXPORTER_OTLP_ENDPOINT=http://127.0.0.1:1", "OTEL_TRACES_EXPORTER=paper"}, []string{"--check"}, 1, nil, []string{`OTEL_TRACES_EXPORTER: is "paper"; must be otlp or none`}},
		{nil, []string{"--slves=1"}, 2, nil, []string{"--slves: is not a flag; did you mean --solves?"}},
		{nil, []string{"start"}, 2, nil, []string{`unexpected argument "start"`}},
	} {
		p := program(t, c.environ, c.args...)
		var out, complaining bytes.Buffer
		p.Stdout, p.Stderr = &out, &complaining
		_ = p.Run() // its exit status shows it
		if got := p.ProcessState.ExitCode(); got != c.status {
			t.Errorf("%q: status %d, want %d: %s", c.args, got, c.status, complaining.String())
		}
		for _, want := range c.out {
			if !strings.Contains(out.String(), want) {
				t.Errorf("%q: %s is missing in\n%s", c.args, want, out.String())
			}
		}
		for _, want := range c.complaining {
			if !strings.Contains(complaining.String(), want) {
				t.Errorf("%q: %s is missing in\n%s", c.args, want, complaining.String())
			}
		}
	}
}

// serving starts the program and returns it, with its log, once it serves.
func serving(t *testing.T, args ...string) (*exec.Cmd, *logged) {
	t.Helper()
	p := program(t, nil, append(args, "--grpc", "127.0.0.1:0", "--http", "127.0.0.1:0")...)
	from, err := p.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	return p, &logged{t, bufio.NewScanner(from), nil}
}

type logged struct {
	t     *testing.T
	lines *bufio.Scanner
	last  map[string]any
}

// until reads the log up to a message with this beginning.
func (l *logged) until(message string) *logged {
	l.t.Helper()
	for l.lines.Scan() {
		l.last = nil
		if err := json.Unmarshal(l.lines.Bytes(), &l.last); err != nil {
			l.t.Fatalf("not a log line: %s", l.lines.Text())
		}
		if m, _ := l.last["msg"].(string); strings.HasPrefix(m, message) {
			return l
		}
	}
	l.t.Fatalf("the log ends without %q", message)
	return nil
}

func send(t *testing.T, p *exec.Cmd, s syscall.Signal) {
	t.Helper()
	if err := p.Process.Signal(s); err != nil {
		t.Fatal(err)
	}
}

// One signal drains and gives 0; SIGHUP only reads the saws.
func TestSignalDrains(t *testing.T) {
	for _, s := range []syscall.Signal{syscall.SIGTERM, syscall.SIGINT} {
		p, log := serving(t, "--saws", "../deploy/saws.example.yaml", "--drain-delay", "1ms")
		log.until("serving")
		send(t, p, syscall.SIGHUP)
		log.until("saws reloaded")
		send(t, p, s)
		log.until("draining")
		for log.lines.Scan() { // to the end, as Wait requires
		}
		if err := p.Wait(); err != nil {
			t.Errorf("%v: %v", s, err)
		}
	}
}

// A probe reports whether the service on this machine is ready.
func TestProbe(t *testing.T) {
	p, log := serving(t, "--drain-delay", "1ms")
	address, _ := log.until("serving").last["http"].(string)
	ask := func() error { return program(t, nil, "--probe", "--http", address).Run() }
	if err := ask(); err != nil {
		t.Errorf("while the service runs: %v", err)
	}
	send(t, p, syscall.SIGTERM)
	for log.lines.Scan() { // to the end, as Wait requires
	}
	if err := p.Wait(); err != nil {
		t.Error(err)
	}
	if ask() == nil {
		t.Error("a service that has ended answers as ready")
	}
}

// A second signal ends a drain that would take an hour.
func TestSecondSignalEnds(t *testing.T) {
	p, log := serving(t, "--drain-delay", "1h")
	address, _ := log.until("serving").last["http"].(string)
	send(t, p, syscall.SIGTERM)
	log.until("draining")
	r, err := http.Get("http://" + address + "/readyz")
	if err != nil {
		t.Fatal(err)
	}
	_ = r.Body.Close()
	if r.StatusCode != http.StatusServiceUnavailable {
		t.Errorf("readyz while draining: %s", r.Status)
	}
	send(t, p, syscall.SIGTERM)
	log.until("stopping at once")
	rest := ""
	for log.lines.Scan() {
		rest += log.lines.Text() + "\n"
	}
	_ = p.Wait() // its exit status shows it
	if code := p.ProcessState.ExitCode(); code != 1 || !strings.Contains(rest, "cut off") {
		t.Errorf("status %d, %s", code, rest)
	}
}
