//go:build verify

// Package scraped tries the configuration, the alerts and the dashboard on a real
// Prometheus and the service as a process.
package scraped

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// shippedIn is where the files are that a Prometheus reads.
const shippedIn = "../../deploy/prometheus/"

// shipped is the scrape configuration as it is shipped, with a plant's own put in,
// and looked at often enough for a test.
func shipped(t *testing.T, target, token, ca string) string {
	t.Helper()
	text := read(t, shippedIn+"scrape.yaml")
	rules, err := filepath.Abs(shippedIn + "rules.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, of := range [][2]string{
		{"/etc/prometheus/ripwright-token", token}, {"/etc/prometheus/ripwright-ca.crt", ca},
		{`["ripwright.example:7421"]`, target}, {"- rules.yaml", "- " + rules},
	} {
		if !strings.Contains(text, of[0]) {
			t.Fatalf("scrape.yaml lacks %s", of[0])
		}
		text = strings.ReplaceAll(text, of[0], of[1])
	}
	return "global: {scrape_interval: 500ms, scrape_timeout: 450ms, evaluation_interval: 500ms}\n" + text
}

// A service with TLS and tokens is scraped by the configuration that is shipped, by
// its certificate and a token that may only read; with a wrong token the alert on a
// target that is down begins, and without a target the one on that.
func TestScrapedWithTLSAndTokens(t *testing.T) {
	dir := t.TempDir()
	cert, key := certificate(t, dir, time.Now().Add(90*24*time.Hour))
	tokens := filepath.Join(dir, "tokens.yaml")
	put(t, tokens, `[{name: prometheus, token: "a-token-that-reads-0123456789", scopes: [read]}, {name: line, token: "a-token-for-a-line-0123456789", scopes: [line]}]`)
	program, err := replicas.Build(dir)
	if err != nil {
		t.Fatal(err)
	}
	s, err := replicas.Launch(program, "--tls-cert", cert, "--tls-key", key, "--tokens", tokens)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Kill()
	good, bad := filepath.Join(dir, "good"), filepath.Join(dir, "bad")
	put(t, good, "a-token-that-reads-0123456789")
	put(t, bad, "a-token-that-nobody-has-9876543")

	p := start(t, t.TempDir(), shipped(t, `["`+s.HTTP+`"]`, good, cert))
	p.until("the target is up", func() bool {
		up := p.query(`up{job="ripwright"} == 1`)
		return len(up) == 1 && len(p.query(`ripwright_build_info{job="ripwright"}`)) == 1
	})
	p.until("no alert is left from before the first scrape", func() bool { return len(p.alerts()) == 0 })
	p = start(t, t.TempDir(), shipped(t, `["`+s.HTTP+`"]`, bad, cert))
	p.until("the alert on a target that refuses", func() bool { return p.alerts()["RipwrightDown"] })
	old := t.TempDir()
	short, its := certificate(t, old, time.Now().Add(5*24*time.Hour))
	o, err := replicas.Launch(program, "--tls-cert", short, "--tls-key", its, "--tokens", tokens)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Kill()
	p = start(t, t.TempDir(), shipped(t, `["`+o.HTTP+`"]`, good, short))
	p.until("the alert on a certificate that runs out", func() bool { return p.alerts()["RipwrightCertificateExpires"] })
	p = start(t, t.TempDir(), shipped(t, "[]", good, cert))
	p.until("the alert on no target", func() bool { return p.alerts()["RipwrightMissing"] })
}
