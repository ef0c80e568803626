package clients

import (
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// runElsewhere says of the README's commands, by how they begin, what runs them.
var runElsewhere = map[string]string{
	"make demo":                        ".ci/verify",
	"make test":                        ".ci/run",
	"go run ./server\n":                "TestSignalDrains in server, and TestTutorial here",
	"curl -s localhost:7421/v1/boards": "TestReadmeCalls in server/app",
	"grpcurl -plaintext":               "TestReadmeCalls in server/app",
	"curl -s localhost:7421/v1/packs":  "the tally's README test in server/app",
	"curl -s localhost:7421/v1/orders": "TestReadmePlan in server/app",
	"docker build":                     ".ci/image, which builds and runs the image without Docker",
	"docker run":                       ".ci/image",
}

// Every command in the README is run by some test: those of the command line
// here, the others as listed.
func TestReadmeCommands(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
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
		// A command goes on over lines that end in a backslash or stand in quotes.
		for _, c := range regexp.MustCompile(`(?m)^(make|go|curl|grpcurl|docker|out/|kill|\./)[^\n]*\n`).FindAllString(commands, -1) {
			known := false
			for start := range runElsewhere {
				if strings.HasPrefix(c, start) {
					known, used[start] = true, true
				}
			}
			if !known {
				t.Errorf("nothing is known to run\n%s", c)
			}
		}
	}
	for start := range runElsewhere {
		if !used[start] {
			t.Errorf("the README no longer has %q", start)
		}
	}
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("there is no bash here to run the commands in")
	}
	dir := t.TempDir()
	copyProject(t, dir)
	c := exec.CommandContext(t.Context(), shell, "-c", script)
	c.Dir = dir
	c.Env = append(os.Environ(), "RIPWRIGHT_GRPC="+rpc, "RIPWRIGHT_HTTP="+web, "RIPWRIGHT_DRAIN_DELAY=0s", "RIPCTL_SERVER="+rpc)
	if says, err := c.CombinedOutput(); err != nil || !strings.Contains(string(says), "stile") {
		t.Errorf("%v\n%s", err, says)
	}
}
