package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net/http"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A program built from a source archive, which has no history, reports the release that
// its builder named, on the command line and in its metrics.
func TestVersionOfASourceArchive(t *testing.T) {
	program := filepath.Join(t.TempDir(), "ripwright")
	of := "github.com/ripwright/ripwright/proto/release."
	build := exec.CommandContext(t.Context(), "go", "run", "-trimpath", "-buildvcs=false", "-exec", "cp", // Go keeps what go run links
		"-ldflags", "-X "+of+"version=v9.8.7 -X "+of+"revision=5ca1ab1e", ".", program)
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	out, err := exec.CommandContext(t.Context(), program, "--version").Output()
	if err != nil || !strings.HasPrefix(string(out), "ripwright v9.8.7, revision 5ca1ab1e, go1.") {
		t.Errorf("%v: %q", err, out)
	}
	ctx, stop := context.WithCancel(t.Context())
	serves := exec.CommandContext(ctx, program, "--grpc", "127.0.0.1:0", "--http", "127.0.0.1:0")
	from, err := serves.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := serves.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { stop(); _ = serves.Wait() }() // it is killed
	log := (&logged{t, bufio.NewScanner(from), nil}).until("serving")
	at, _ := log.last["http"].(string)
	r, err := http.Get("http://" + at + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	text, err := io.ReadAll(r.Body)
	if err != nil || !bytes.Contains(text, []byte(`revision="5ca1ab1e",version="v9.8.7"} 1`)) {
		t.Errorf("%v: no such build among the metrics", err)
	}
}
