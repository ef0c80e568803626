package hostile

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// Files that are long, deep or endless are refused by name, in little memory.
func TestFilesWithoutEnd(t *testing.T) {
	p, err := program()
	if err != nil {
		t.Fatal(err)
	}
	cert, key := certificate(t)
	dir := t.TempDir()
	for what, text := range map[string]string{
		"brackets": strings.Repeat("[", 100_000), "braces": strings.Repeat("{", 60_000), "dashes": strings.Repeat("- ", 30_000),
		"keys": strings.Repeat("? ", 30_000), "lines of brackets": strings.Repeat("[\n", 30_000), "long": strings.Repeat("x: 1\n", 400_000),
		"aliases": "a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b]\nd: &d [*c,*c,*c,*c,*c,*c,*c,*c,*c]\ne: &e [*d,*d,*d,*d,*d,*d,*d,*d,*d]\nf: &f [*e,*e,*e,*e,*e,*e,*e,*e,*e]\ng: &g [*f,*f,*f,*f,*f,*f,*f,*f,*f]\n",
	} {
		file := filepath.Join(dir, strings.ReplaceAll(what, " ", "-"))
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		as := [][]string{{"--config", file}, {"--tokens", file}, {"--saws", file}, {"--tls-cert", file, "--tls-key", key},
			{"--tls-cert", cert, "--tls-key", file}, {"--tls-cert", cert, "--tls-key", key, "--tls-client-ca", file}}
		if !every { // each text once in place of YAML and once of PEM
			as = [][]string{as[len(what)%3], as[3+len(what)%3]}
		}
		for _, flags := range as {
			c := replicas.Command(p, append(flags, "--check")...)
			began := time.Now()
			out, err := c.CombinedOutput()
			if err == nil || !strings.Contains(string(out), file) && !strings.Contains(string(out), "tls:") {
				t.Errorf("%s as %v: %v %.300s", what, flags, err, out)
			}
			used, ok := c.ProcessState.SysUsage().(*syscall.Rusage)
			if ok && used.Maxrss > 200_000 {
				t.Errorf("%s as %v: %d MB in %v", what, flags, used.Maxrss/1000, time.Since(began))
			}
		}
	}
	for _, odd := range []string{"/dev/zero", dir} {
		for _, flag := range []string{"--config", "--tokens", "--saws", "--tls-client-ca"} {
			if out, err := replicas.Command(p, flag, odd, "--tls-cert", cert, "--tls-key", key, "--check").CombinedOutput(); err == nil || !strings.Contains(string(out), odd) {
				t.Errorf("%s %s: %v %.200s", flag, odd, err, out)
			}
		}
	}
}
