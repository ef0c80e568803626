//go:build verify

package scraped

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/prometheus"
	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// shipped is the shipped scrape configuration with a plant's own values, scraped often
// enough for a test.
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

// A service with TLS and tokens is scraped by the shipped configuration, with its
// certificate and a read-only token; with a wrong token the alert on a target that is
// down begins, and without a target the one on a missing target.
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

	p := prometheus.Start(t, shipped(t, `["`+s.HTTP+`"]`, good, cert))
	p.Until("the target is up", func() bool {
		up := p.Query(`up{job="ripwright"} == 1`)
		return len(up) == 1 && len(p.Query(`ripwright_build_info{job="ripwright"}`)) == 1
	})
	p.Until("no alert is left from before the first scrape", func() bool { return len(alerts(p)) == 0 })
	p = prometheus.Start(t, shipped(t, `["`+s.HTTP+`"]`, bad, cert))
	p.Until("the alert on a target that refuses", func() bool { return alerts(p)["RipwrightDown"] })
	old := t.TempDir()
	short, its := certificate(t, old, time.Now().Add(5*24*time.Hour))
	o, err := replicas.Launch(program, "--tls-cert", short, "--tls-key", its, "--tokens", tokens)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Kill()
	p = prometheus.Start(t, shipped(t, `["`+o.HTTP+`"]`, good, short))
	p.Until("the alert on a certificate that runs out", func() bool { return alerts(p)["RipwrightCertificateExpires"] })
	p = prometheus.Start(t, shipped(t, "[]", good, cert))
	p.Until("the alert on no target", func() bool { return alerts(p)["RipwrightMissing"] })
}

// alerts gives the alerts that are pending or firing.
func alerts(p *prometheus.Server) map[string]bool {
	all := map[string]bool{}
	for _, s := range p.Query(`ALERTS`) {
		all[s.Labels["alertname"]] = true
	}
	return all
}
