// Package clients tests what the guides in this folder say.
package clients

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the output and pictures of the commands into the tutorial")

// A block of commands and, if one follows, the block of what they write.
var block = regexp.MustCompile("(?s)```sh\n(.*?)```\n(?:\n```text\n(.*?)```\n)?")

// The tutorial's commands are run one after another on a copy of the project, in one
// shell, and write what is shown below them.
func TestTutorial(t *testing.T) {
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("bash is not installed here")
	}
	text, err := os.ReadFile("tutorial.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := block.FindAllSubmatch(text, -1)
	if len(blocks) < 8 {
		t.Fatalf("%d blocks of commands", len(blocks))
	}
	dir := t.TempDir()
	copyProject(t, dir)
	script := "set -eu\ntrap 'kill $(jobs -p) 2>/dev/null || true; wait' EXIT\n"
	for i, b := range blocks {
		// A quote may take as long as a slow machine needs.
		commands := bytes.ReplaceAll(b[1], []byte("ripctl quote "), []byte("ripctl quote --time-limit-ms 3600000 "))
		script += fmt.Sprintf("{\n%s\n} >%s\n", commands, filepath.Join(dir, fmt.Sprintf("block%d", i)))
	}
	rpc, web := free(t), free(t)
	c := exec.CommandContext(t.Context(), shell, "-c", script)
	c.Dir = dir
	c.Env = append(builds(), "RIPWRIGHT_GRPC="+rpc, "RIPWRIGHT_HTTP="+web, "RIPWRIGHT_DRAIN_DELAY=0s", "RIPCTL_SERVER="+rpc)
	if says, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, says)
	}
	for i, b := range blocks {
		said, err := os.ReadFile(filepath.Join(dir, fmt.Sprintf("block%d", i)))
		if err != nil {
			t.Fatal(err)
		}
		if shown := b[2]; !bytes.Equal(said, shown) {
			if !*update {
				t.Errorf("%s\nwrites\n%s\nand the tutorial shows\n%s", b[1], said, shown)
			}
			was := append(append(append(append([]byte("```sh\n"), b[1]...), "```\n\n```text\n"...), shown...), "```\n"...)
			is := append(append(append(append([]byte("```sh\n"), b[1]...), "```\n\n```text\n"...), said...), "```\n"...)
			text = bytes.Replace(text, was, is, 1)
		}
	}
	files := map[string][]byte{"tutorial.md": text}
	for _, name := range []string{"plan.svg", "quote.svg"} {
		drawn, err := os.ReadFile(filepath.Join(dir, "out", "mill", name))
		if err != nil {
			t.Fatal(err)
		}
		files[name] = drawn
	}
	for name, now := range files {
		if *update {
			if err := os.WriteFile(name, now, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if shown, err := os.ReadFile(name); err != nil || !bytes.Equal(shown, now) {
			t.Errorf("%s differs from what the tutorial makes (%v); run this test with -update", name, err)
		}
	}
}

// made are the directories that other languages' tools leave behind.
var made = []string{"node_modules", "dist", "gen", "__pycache__"}

// copyProject copies what the commands need, like a fresh clone.
func copyProject(t *testing.T, to string) {
	t.Helper()
	root := os.DirFS("..")
	for _, part := range []string{"clients", "proto", "server", "solver", "deploy", "testdata"} {
		if err := fs.WalkDir(root, part, func(path string, d fs.DirEntry, err error) error {
			switch at := filepath.Join(to, path); {
			case err != nil:
				return err
			case d.IsDir() && slices.Contains(made, d.Name()):
				return fs.SkipDir
			case d.IsDir():
				return os.MkdirAll(at, 0o750)
			default:
				text, err := fs.ReadFile(root, path)
				if err != nil {
					return err
				}
				return os.WriteFile(at, text, 0o600)
			}
		}); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"go.mod", "go.sum"} {
		text, err := fs.ReadFile(root, name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(to, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// builds is an environment in which the build cache of one copy of the project serves the
// next: paths are recorded without the copy's location. Nor do programs have tables for
// debuggers, which take half of the linking.
func builds() []string {
	return append(os.Environ(), "GOFLAGS="+os.Getenv("GOFLAGS")+" -trimpath -ldflags=-w")
}

// free gives an unused loopback address.
func free(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	return l.Addr().String()
}

// Every file and command that the wiring guide names exists.
func TestWiringGuide(t *testing.T) {
	text, err := os.ReadFile("wiring.md")
	if err != nil {
		t.Fatal(err)
	}
	links := regexp.MustCompile(`\]\(([^)#]+)\)`).FindAllSubmatch(text, -1)
	if len(links) == 0 {
		t.Error("the guide links to nothing")
	}
	for _, l := range links {
		if _, err := os.Stat(string(l[1])); err != nil {
			t.Errorf("%s: %v", l[1], err)
		}
	}
	tutorial, err := os.ReadFile("tutorial.md")
	if err != nil {
		t.Fatal(err)
	}
	// Its commands are those that the tutorial's test runs.
	for _, c := range regexp.MustCompile("(?m)^out/ripctl .*$").FindAllString(string(text), -1) {
		if !strings.Contains(string(tutorial), c) {
			t.Errorf("the tutorial, which is tested, lacks the command\n%s", c)
		}
	}
}
