package textfile

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

func TestYAML(t *testing.T) {
	many := func(s string) string { return strings.Repeat(s, 100_000) }
	for text, want := range map[string]error{
		"":                                nil,
		"a: [1, {b: [2]}]\n":              nil,
		"a: '[[[[[[[[[[[[[[[[[[[[[[[['\n": nil,
		"a: it's [x]\nb: \"\\\"[[[[[[[[[[[[[[[[[[[[[[\"\n": nil,
		"# [[[[[[[[[[[[[[[[[[[[[[[[[\na: 1\n":              nil,
		"- - - 1\n":                                        nil,
		many("["):                                          Deep{1},
		many("{"):                                          Deep{1},
		many("- "):                                         Deep{1},
		many("? "):                                         Deep{1},
		"a:\n  " + many("[\n"):                             Deep{18},
		"a: &x [1]\nb: *x\n":                               ErrAlias,
		strings.Repeat(" ", 300) + "a: 1\n":                Deep{1},
		"'" + many("["):                                    nil,
	} {
		if got := YAML([]byte(text)); !errors.Is(got, want) {
			t.Errorf("%.40q: %v, want %v", text, got, want)
		}
	}
}

func TestRead(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a")
	if err := os.WriteFile(name, []byte("12345"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got, err := Read(name, 5); err != nil || string(got) != "12345" {
		t.Errorf("%q %v", got, err)
	}
	if got, err := Read(name, 4); err == nil || got != nil || !strings.Contains(err.Error(), "over 4 bytes") {
		t.Errorf("%q %v", got, err)
	}
	pipe := filepath.Join(dir, "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip(err)
	}
	for _, odd := range []string{pipe, dir, "/dev/zero", filepath.Join(dir, "none")} {
		if _, err := Read(odd, 5); err == nil {
			t.Errorf("%s is read", odd)
		}
	}
}
