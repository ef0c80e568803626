package clients

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// guides are the guides whose commands TestCommands checks; the front page is the index
// of all guides, and others have tests of their own.
var guides = []string{"../README.md", "calling.md", "line.md", "planning.md", "tally.md", "ripctl/README.md", "../server/page/README.md", "../solver/MODEL.md", "../deploy/SECURITY.md", "../deploy/METRICS.md"}

// runElsewhere says, by how the guides' commands begin, what runs them.
var runElsewhere = map[string]string{
	"make demo":                        ".ci/verify",
	"make test":                        ".ci/run",
	"go run ./server\n":                "TestSignalDrains in server, and TestTutorial here",
	"curl -s localhost:7421/v1/boards": "TestFirstCalls and TestFrontPage in server/app",
	"grpcurl -plaintext":               "TestFirstCalls in server/app",
	"curl -s localhost:7421/v1/packs":  "TestGuidesTally in server/app",
	"curl -s localhost:7421/v1/orders": "TestGuidesPlan in server/app",
}

// Every command in the front page and in the guides without a test of their own is run by
// some test: those of the command line here, the others as listed.
func TestCommands(t *testing.T) {
	var text []byte
	for _, name := range guides {
		one, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, one...)
	}
	used := map[string]bool{}
	rpc, web := free(t), free(t)
	script := "set -eu\ntrap 'kill $(jobs -p) 2>/dev/null || true; wait' EXIT\n" +
		"go build -o out/server ./server\nout/server &\nuntil out/server --probe 2>/dev/null; do sleep 0.1; done\n"
	for _, b := range regexp.MustCompile("(?s)```sh\n(.*?)```\n").FindAllStringSubmatch(string(text), -1) {
		commands := b[1]
		if strings.Contains(commands, "ripctl") {
			script += commands
			continue
		}
		// A command continues over lines that end in a backslash or are in quotes.
		for _, c := range regexp.MustCompile(`(?m)^(make|go|curl|grpcurl|docker|out/|kill|\./)[^\n]*\n`).FindAllString(commands, -1) {
			known := false
			for start := range runElsewhere {
				if strings.HasPrefix(c, start) {
					known, used[start] = true, true
				}
			}
			if !known {
				t.Errorf("no test is known to run the command\n%s", c)
			}
		}
	}
	for start := range runElsewhere {
		if !used[start] {
			t.Errorf("the guides no longer have %q", start)
		}
	}
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("bash is not installed here")
	}
	dir := t.TempDir()
	copyProject(t, dir)
	c := exec.CommandContext(t.Context(), shell, "-c", script)
	c.Dir = dir
	c.Env = append(builds(), "RIPWRIGHT_GRPC="+rpc, "RIPWRIGHT_HTTP="+web, "RIPWRIGHT_DRAIN_DELAY=0s", "RIPCTL_SERVER="+rpc)
	if says, err := c.CombinedOutput(); err != nil || !strings.Contains(string(says), "stile") {
		t.Errorf("%v\n%s", err, says)
	}
}

// notRun says, by how the running guide's commands begin, why no test in this folder runs
// them.
var notRun = map[string]string{
	"sudo ":           "they change this machine; .ci/deploy verifies the unit",
	"systemctl ":      "as sudo",
	"docker ":         "there is no Docker engine in the tests; .ci/image builds and runs the image without one",
	"kubectl ":        "they need a cluster; .ci/deploy decodes every manifest against the published types",
	"kustomize build": ".ci/deploy, which decodes what it writes",
}

// Every command of the running guide is run here, except for those in blocks that are
// listed with the reason.
func TestRunningGuide(t *testing.T) {
	for _, tool := range []string{"bash", "openssl", "curl"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("there is no " + tool + " here")
		}
	}
	text, err := os.ReadFile("../deploy/RUNNING.md")
	if err != nil {
		t.Fatal(err)
	}
	rpc, web := free(t), free(t)
	script, used, run := "set -eu\nset -o pipefail\ntrap 'kill $(jobs -p) 2>/dev/null || true; wait' EXIT\n", map[string]bool{}, 0
	for _, b := range regexp.MustCompile("(?s)```sh\n(.*?)```\n").FindAllStringSubmatch(string(text), -1) {
		here := ""
		for _, c := range strings.SplitAfter(strings.TrimSuffix(b[1], "\n"), "\n") {
			known := false
			for start := range notRun {
				if strings.HasPrefix(c, start) {
					known, used[start] = true, true
				}
			}
			if !known {
				here += strings.TrimSuffix(c, "\n") + "\n"
				run++
			}
		}
		// The next block starts the service on the same ports.
		script += strings.ReplaceAll(here, "kill %1\n", "kill %1; wait %1\n")
	}
	if len(used) != len(notRun) || run < 20 {
		t.Errorf("%d commands are run; of those that are not run, only %v are in the guide", run, used)
	}
	dir := t.TempDir()
	copyProject(t, dir)
	c := exec.CommandContext(t.Context(), "bash", "-c", strings.ReplaceAll(script, "127.0.0.1:7421", web))
	c.Dir = dir
	c.Env = append(builds(), "RIPWRIGHT_GRPC="+rpc, "RIPWRIGHT_HTTP="+web, "RIPWRIGHT_DRAIN_DELAY=0s", "RIPCTL_SERVER="+rpc)
	says, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, says)
	}
	for _, want := range []string{`ripwright_saw_file_reloads_total{outcome="loaded"}`, "AC-012"} {
		if !strings.Contains(string(says), want) {
			t.Errorf("the output of the guide's commands lacks %q:\n%s", want, says)
		}
	}
}

// The targets of the guides' links exist, headings included.
func TestGuidesLink(t *testing.T) {
	heading := regexp.MustCompile("(?m)^#+ (.*)$")
	decisions, err := filepath.Glob("../*/decisions/*.md")
	if err != nil || len(decisions) < 9 {
		t.Fatalf("%v, %d decisions", err, len(decisions))
	}
	index, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	decisions = append(decisions, "wherry/decisions/module.md")
	for _, name := range decisions {
		if !strings.Contains(string(index), "]("+strings.TrimPrefix(filepath.ToSlash(filepath.Join("clients", name)), "../")+")") {
			t.Errorf("the index lacks %s", name)
		}
	}
	all := decisions
	for _, path := range allGuides(t) {
		if path != "proto/document/intro.md" { // its links are relative to REFERENCE.md, which includes it
			all = append(all, filepath.Join("..", filepath.FromSlash(path)))
		}
	}
	all = append(all, "../proto/REFERENCE.md")
	for _, name := range all {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range regexp.MustCompile(`\]\(([^)]+)\)`).FindAllStringSubmatch(string(text), -1) {
			if strings.Contains(l[1], ":") {
				continue // another site
			}
			at, part, _ := strings.Cut(l[1], "#")
			to := filepath.Join(filepath.Dir(name), at)
			target, err := os.Stat(to)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			if part == "" || target.IsDir() {
				continue
			}
			there, err := os.ReadFile(to)
			if err != nil {
				t.Fatal(err)
			}
			found := false
			for _, h := range heading.FindAllStringSubmatch(string(there), -1) {
				found = found || strings.ReplaceAll(strings.ToLower(h[1]), " ", "-") == part
			}
			if !found {
				t.Errorf("%s: %s has no heading %s", name, to, part)
			}
		}
	}
}
