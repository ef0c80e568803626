package config

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/server/memory"
)

// load reads a configuration from a command line, an environment and the text of a file,
// which both call FILE.
func load(t *testing.T, file string, environ, args []string) (*Loaded, string, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "ripwright.yaml")
	if err := os.WriteFile(path, []byte(file), 0o600); err != nil {
		t.Fatal(err)
	}
	fill := func(in []string) []string {
		out := slices.Clone(in)
		for i := range out {
			out[i] = strings.ReplaceAll(out[i], "FILE", path)
		}
		return out
	}
	c, err := ParseArgs(fill(args))
	if err != nil {
		return nil, path, err
	}
	l, err := c.Load(fill(environ))
	return l, path, err
}

// Every setting is a field and every field a setting, and the defaults meet their own
// rules.
func TestSettingsAreTheFields(t *testing.T) {
	fields := reflect.TypeFor[Config]()
	if fields.NumField() != len(settings) {
		t.Errorf("%d fields, %d settings", fields.NumField(), len(settings))
	}
	for i := range fields.NumField() {
		if name := fields.Field(i).Tag.Get(tag); find(name) == nil {
			t.Errorf("the field %s has no setting %q", fields.Field(i).Name, name)
		}
	}
	c := Default()
	for _, s := range settings {
		if !s.ok(&c) {
			t.Errorf("the default of %s is %v; must be %s", s.name, c.value(s.name), s.must)
		}
	}
}

// Each source outranks the one below it, setting by setting.
func TestPrecedence(t *testing.T) {
	l, path, err := load(t, "# a comment\nsolves: 3\nwaiting: 30\ndrain: 30s\nlog-level: debug\n",
		[]string{"RIPWRIGHT_WAITING=20", "RIPWRIGHT_DRAIN=20s", "HOME=/", "RIPWRIGHT_CONFIG=FILE"}, []string{"--drain", "1m30s"})
	if err != nil {
		t.Fatal(err)
	}
	want := Default()
	want.Solves, want.Waiting, want.Drain, want.LogLevel = 3, 20, 90*time.Second, "debug"
	want.SearchMemory = int(memory.Searches(3 + want.PlanWorkers)) // which is derived from the others
	if l.Config != want {
		t.Errorf("%+v\nwant %+v", l.Config, want)
	}
	for name, from := range map[string]string{"drain": "--drain", "waiting": "RIPWRIGHT_WAITING",
		"solves": path + ": solves", "grpc": "the default of grpc"} {
		if l.Origin(name) != from {
			t.Errorf("%s is from %s, want %s", name, l.Origin(name), from)
		}
	}
	if l, _, err = load(t, "waiting: 7", []string{"RIPWRIGHT_CONFIG=/nonexistent"}, []string{"--config=FILE"}); err != nil || l.Waiting != 7 {
		t.Errorf("--config does not outrank its variable: %v %v", l, err)
	}
}

// Every setting can be set from every source, under its one name.
func TestEverySettingFromEveryPlace(t *testing.T) {
	for name, v := range map[string]string{"grpc": "[::1]:1", "http": "localhost:0", "max-body": "2048", "solves": "7", "waiting": "0",
		"longest-solve": "1m0s", "saws": "some.yaml", "reread-every": "0s", "drain-delay": "0", "record-age": "0", "drain": "1ms", "log-level": "error", "log-format": "console",
		"tokens": "t.yaml", "plaintext": "true", "doubt-width": "0.5", "refuse-length": "250"} {
		for place, c := range map[string]struct {
			file          string
			environ, args []string
		}{
			"flag": {"", nil, []string{"--" + name + "=" + v}},
			"env":  {"", []string{variable(name) + "=" + v}, nil},
			"file": {name + ": " + strings.Replace(v, "[::1]:1", `"[::1]:1"`, 1), nil, []string{"--config", "FILE"}},
		} {
			l, _, err := load(t, c.file, c.environ, c.args)
			if err != nil {
				t.Errorf("%s by %s: %v", name, place, err)
				continue
			}
			standard := Default()
			if got := l.value(name); !strings.HasSuffix(v, "s") && got == standard.value(name) || l.Origin(name) == "the default of "+name {
				t.Errorf("%s by %s is still %v", name, place, got)
			}
		}
	}
}

// All faults are reported at once, each with its origin, even if a higher rank replaces
// the value.
func TestAllFaultsAtOnce(t *testing.T) {
	_, path, err := load(t, "drain: 10\nsolves: 2.5\nwaiting: true\ndrian-delay: 3s\nlog-format:\nlog: {level: debug}\nlog.level: info\nSolves: 2\n",
		[]string{"RIPWRIGHT_SOLVES=none", "RIPWRIGHT_SOLVS=2", "RIPWRIGHT_solves=2", "RIPWRIGHT_LONGEST_SOLVE=0s",
			"RIPWRIGHT_CHECK=1", "RIPWRIGHT_WAITING="},
		[]string{"--config=FILE", "--grpc=localhost", "--http", ":99999", "--drain=1s", "--max-body=0x800"})
	want := strings.NewReplacer("FILE", path, "ADDRESS", mustBeAddress).Replace(`FILE: solves: is 2.5; must be a whole number from 1 to 1024
FILE: waiting: is true; must be a whole number from 0 to 1000000
FILE: drain: is 10; must be a time above 0s and at most 1h, such as 10s
FILE: log-format: is empty; must be json or console
FILE: Solves: is not a setting; did you mean solves?
FILE: drian-delay: is not a setting; did you mean drain-delay?
FILE: log: is not a setting
FILE: log.level: is not a setting; did you mean log-level?
RIPWRIGHT_SOLVES: is "none"; must be a whole number from 1 to 1024
RIPWRIGHT_WAITING: is ""; must be a whole number from 0 to 1000000
RIPWRIGHT_LONGEST_SOLVE: is "0s"; must be a time above 0s and at most 1h, such as 2s or 500ms
RIPWRIGHT_solves: is not a setting; did you mean RIPWRIGHT_SOLVES?
RIPWRIGHT_CHECK: is not a setting
RIPWRIGHT_SOLVS: is not a setting; did you mean RIPWRIGHT_SOLVES?
--grpc: is "localhost"; must be ADDRESS
--http: is ":99999"; must be ADDRESS
--max-body: is "0x800"; must be a whole number of bytes from 1024 to 67108864`)
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func TestOtherFaults(t *testing.T) {
	for _, c := range []struct {
		file          string
		environ, args []string
		says          string
	}{
		{"solves: 1\nwaiting: [", nil, []string{"--config=FILE"}, "ripwright.yaml:2: "},
		{"solves: 1\nsolves: 2", nil, []string{"--config=FILE"}, "ripwright.yaml:2: mapping key"},
		{"- solves", nil, []string{"--config=FILE"}, "ripwright.yaml:1: "},
		{"", nil, []string{"--config=/nonexistent/x.yaml"}, "--config: open /nonexistent/x.yaml"},
		{"", []string{"RIPWRIGHT_CONFIG=/nonexistent/x.yaml"}, nil, "RIPWRIGHT_CONFIG: open"},
		{"", []string{"RIPWRIGHT_GRPC=127.0.0.1:7421"}, nil, `the default of http: is "127.0.0.1:7421", the same as RIPWRIGHT_GRPC`},
		{"", nil, []string{"--grpc", "0.0.0.0:7420"}, `--grpc: is "0.0.0.0:7420", which other machines can reach; set tls-cert and tls-key, or plaintext`},
		{"", nil, []string{"--http", ":7421"}, `--http: is ":7421", which other machines can reach`},
		{"", nil, []string{"--tls-cert", "c.pem"}, "--tls-cert: and the default of tls-key go together"},
		{"", nil, []string{"--tls-client-ca", "c.pem"}, "--tls-client-ca: needs tls-cert and tls-key"},
		{"", nil, []string{"--plaintext=perhaps"}, `--plaintext: is "perhaps"; must be true or false`},
		{"", nil, []string{"--slves", "3"}, "--slves: is not a flag; did you mean --solves?"},
		{"", nil, []string{"--solves"}, "solves"},
		{"", nil, []string{"start"}, `unexpected argument "start"`},
		{"", nil, []string{"-x"}, "-x"},
	} {
		if _, _, err := load(t, c.file, c.environ, c.args); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q %q %q: %v, want %s", c.file, c.environ, c.args, err, c.says)
		}
	}
}

// An address that others can reach is accepted with TLS, or if it is explicitly allowed.
func TestWiderAddresses(t *testing.T) {
	for _, args := range [][]string{
		{"--grpc", "0.0.0.0:7420", "--plaintext"},
		{"--grpc", "10.1.2.3:7420", "--http", ":7421", "--tls-cert", "c.pem", "--tls-key", "k.pem"},
		{"--grpc", "localhost:7420", "--http", "[::1]:7421"},
	} {
		if l, _, err := load(t, "", nil, args); err != nil {
			t.Errorf("%q: %v", args, err)
		} else if l.Open() != (len(args) == 3) {
			t.Errorf("%q: open %v", args, l.Open())
		}
	}
}

// The variables that Kubernetes adds for a service called ripwright are no mistake.
func TestServiceLinksArePassedOver(t *testing.T) {
	_, _, err := load(t, "", []string{"RIPWRIGHT_SERVICE_HOST=10.0.0.1", "RIPWRIGHT_SERVICE_PORT=7420", "RIPWRIGHT_SERVICE_PORT_GRPC=7420",
		"RIPWRIGHT_PORT=tcp://10.0.0.1:7420", "RIPWRIGHT_PORT_7420_TCP=tcp://10.0.0.1:7420", "RIPWRIGHT_PORT_7420_TCP_PROTO=tcp",
		"RIPWRIGHT_PORT_7420_TCP_ADDR=10.0.0.1", "RIPWRIGHT_GRPC_PORT=tcp://10.0.0.1:7420", "RIPWRIGHT_GRPC_SERVICE_HOST=10.0.0.1"}, nil)
	if err != nil {
		t.Error(err)
	}
}

// The printed configuration is a file that gives the same configuration again.
func TestPrintIsAFile(t *testing.T) {
	l, _, err := load(t, "", []string{"RIPWRIGHT_SAWS=my: saws #1.yaml", "RIPWRIGHT_GRPC=[::1]:0"}, []string{"--drain=1h"})
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := l.Print(&text); err != nil {
		t.Fatal(err)
	}
	again, _, err := load(t, text.String(), nil, []string{"--config=FILE"})
	if err != nil || again.Config != l.Config {
		t.Errorf("%v %+v, want %+v, from\n%s", err, again, l.Config, text.String())
	}
	if !strings.Contains(text.String(), "drain: 1h0m0s # --drain\n") {
		t.Errorf("no origin in\n%s", text.String())
	}
}
