//go:build verify

package main

import (
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The guide's commands are run one after another, in one shell, and write what is shown
// below them; of long lists only the start of some lines is compared.
func TestBridgingGuide(t *testing.T) {
	text, err := os.ReadFile("../bridging.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile("(?s)```sh\n(.*?)```\n(?:\n```text\n(.*?)```\n)?").FindAllSubmatch(text, -1)
	if len(blocks) < 9 {
		t.Fatalf("%d blocks of commands", len(blocks))
	}
	dir := t.TempDir()
	free := func() string {
		t.Helper()
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = l.Close() }()
		return l.Addr().String()
	}
	rpc, registers := free(), free()
	here := strings.NewReplacer("../../out/", dir+"/out/", "out/", dir+"/out/", "127.0.0.1:7420", rpc, "127.0.0.1:15020", registers)
	script := "set -eu\ntrap 'kill $(jobs -p) 2>/dev/null || true; wait' EXIT\n"
	for i, b := range blocks {
		script += fmt.Sprintf("{\n%s\n} >%s 2>&1\n", here.Replace(string(b[1])), filepath.Join(dir, fmt.Sprint("block", i)))
	}
	c := exec.CommandContext(t.Context(), "bash", "-c", script)
	c.Dir = "../.."
	c.Env = append(os.Environ(), "GOFLAGS="+os.Getenv("GOFLAGS")+" -trimpath", "RIPWRIGHT_GRPC="+rpc, "RIPWRIGHT_HTTP="+free(), "RIPWRIGHT_DRAIN_DELAY=0s")
	if says, err := c.CombinedOutput(); err != nil {
		all := string(says)
		for i := range blocks {
			said, _ := os.ReadFile(filepath.Join(dir, fmt.Sprint("block", i)))
			all += string(said)
		}
		t.Fatalf("%v\n%s", err, all)
	}
	for i, b := range blocks {
		said, err := os.ReadFile(filepath.Join(dir, fmt.Sprint("block", i)))
		if err != nil {
			t.Fatal(err)
		}
		if len(b[2]) == 0 && len(said) > 0 {
			t.Errorf("%s\nprints %s", b[1], said)
		}
		for _, line := range strings.SplitAfter(string(b[2]), "\n") {
			if !strings.Contains(string(said), strings.ReplaceAll(line, "out/", dir+"/out/")) {
				t.Errorf("%s\nprints\n%s\nthe guide has\n%s", b[1], said, line)
			}
		}
	}
}
