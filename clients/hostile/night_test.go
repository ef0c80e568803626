package hostile

import (
	"crypto/tls"
	"net/http"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"
)

// For whoever is called at night: profiles at the health address where they are
// wished and nowhere else, when the certificate runs out, and whether files that
// changed were taken.
func TestForWhoeverIsCalled(t *testing.T) {
	cert, key := certificate(t)
	s := serve(t, "--health", "127.0.0.1:0", "--health-metrics", "--health-profiles", "--tls-cert", cert, "--tls-key", key, "--reread-every", "0s")
	for path, want := range map[string]string{"/debug/pprof/": "goroutine", "/debug/pprof/heap?debug=1": "heap profile", "/debug/pprof/cmdline": "--health-profiles"} {
		if code, text := asks(t, "127.0.0.1", "http://"+s.Health+path); code != http.StatusOK || !strings.Contains(text, want) {
			t.Errorf("%s: %d %.100s", path, code, text)
		}
	}
	web := &http.Client{Transport: &http.Transport{DisableKeepAlives: true, TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}} //nolint:gosec // it vouches for itself
	if a, err := web.Get("https://" + s.HTTP + "/debug/pprof/"); err != nil || a.StatusCode != http.StatusNotFound {
		t.Errorf("where callers call: %v %v", a, err)
	} else {
		_ = a.Body.Close()
	}
	plain := serve(t, "--health", "127.0.0.1:0")
	if code, _ := asks(t, "127.0.0.1", "http://"+plain.Health+"/debug/pprof/"); code != http.StatusNotFound {
		t.Errorf("profiles that nobody wished: %d", code)
	}

	metric := func(line string) bool {
		_, text := asks(t, "127.0.0.1", "http://"+s.Health+"/metrics")
		return strings.Contains(text, "\n"+line)
	}
	if !metric("ripwright_certificate_expiry_timestamp_seconds 1.") || !metric(`ripwright_file_reloads_total{files="tls",outcome="refused"} 0`) {
		t.Error("nothing of the certificate among the metrics")
	}
	if err := os.WriteFile(key, []byte("nonsense"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := s.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(time.Minute); !metric(`ripwright_file_reloads_total{files="tls",outcome="refused"} 1`); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the refused file is not counted")
		}
	}
}
