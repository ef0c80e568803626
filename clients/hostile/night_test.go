package hostile

import (
	"crypto/tls"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// For troubleshooting: profiles at the health address if configured and nowhere else, the
// expiry of the certificate, and whether changed files were taken.
func TestForWhoeverIsCalled(t *testing.T) {
	cert, key := certificate(t)
	s := serve(t, "--health", "127.0.0.1:0", "--health-metrics", "--health-profiles", "--tls-cert", cert, "--tls-key", key, "--reread-every", "0s")
	for path, want := range map[string]string{"/debug/pprof/": "goroutine", "/debug/pprof/heap?debug=1": "heap profile", "/debug/pprof/cmdline": "--health-profiles"} {
		if code, text := asks(t, "127.0.0.1", "http://"+s.Health+path); code != http.StatusOK || !strings.Contains(text, want) {
			t.Errorf("%s: %d %.100s", path, code, text)
		}
	}
	web := &http.Client{Transport: &http.Transport{DisableKeepAlives: true, TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}} // the certificate is self-signed
	if a, err := web.Get("https://" + s.HTTP + "/debug/pprof/"); err != nil || a.StatusCode != http.StatusNotFound {
		t.Errorf("profiles on the callers' address: %v %v", a, err)
	} else {
		_ = a.Body.Close()
	}
	plain := serve(t, "--health", "127.0.0.1:0")
	if code, _ := asks(t, "127.0.0.1", "http://"+plain.Health+"/debug/pprof/"); code != http.StatusNotFound {
		t.Errorf("profiles without the setting: status %d", code)
	}

	metric := func(line string) bool {
		_, text := asks(t, "127.0.0.1", "http://"+s.Health+"/metrics")
		return strings.Contains(text, "\n"+line)
	}
	if !metric("ripwright_certificate_expiry_timestamp_seconds 1.") || !metric(`ripwright_file_reloads_total{files="tls",outcome="refused"} 0`) {
		t.Error("the metrics lack the certificate's expiry")
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

// Settings in force are shown where metrics are, only to callers who may see those, and
// contain no token. ripctl status reports them with what waits.
func TestSettingsInForce(t *testing.T) {
	const secret = "a-token-that-nobody-is-to-read-0123456789"
	tokens := filepath.Join(t.TempDir(), "tokens.yaml")
	if err := os.WriteFile(tokens, []byte("- {name: desk, token: "+secret+", scopes: [office, read]}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := serve(t, "--tokens", tokens, "--plaintext", "--waiting", "321", "--health", "127.0.0.1:0", "--health-metrics")
	quiet := serve(t, "--tokens", tokens, "--plaintext", "--health", "127.0.0.1:0")
	get := func(at, token string) (int, string) {
		q, err := http.NewRequest(http.MethodGet, "http://"+at+"/settings", nil)
		if err != nil {
			t.Fatal(err)
		}
		if token != "" {
			q.Header.Set("Authorization", "Bearer "+token)
		}
		code, text, _ := answered(t, q)
		return code, text
	}
	for what, c := range map[string]struct {
		at, token string
		want      int
	}{
		"nobody":                             {r.HTTP, "", http.StatusUnauthorized},
		"a wrong token":                      {r.HTTP, "b" + secret, http.StatusUnauthorized},
		"the desk":                           {r.HTTP, secret, http.StatusOK},
		"the health address":                 {r.Health, "", http.StatusOK},
		"the health address without metrics": {quiet.Health, "", http.StatusNotFound},
	} {
		code, text := get(c.at, c.token)
		if code != c.want || strings.Contains(text, secret) {
			t.Errorf("%s: %d %s", what, code, text)
		}
		if code == http.StatusOK && (!strings.Contains(text, `{"name":"waiting","value":321,"from":"--waiting"}`) || !strings.Contains(text, `"from":"the default of solves"`)) {
			t.Errorf("%s: %s", what, text)
		}
	}
	file := filepath.Join(t.TempDir(), "token")
	if err := os.WriteFile(file, []byte(secret), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(built(t, "./clients/ripctl"), "--server", r.GRPC, "--token-file", file, "status", "--metrics", "http://"+r.HTTP+"/metrics").CombinedOutput()
	if err != nil {
		t.Fatal(err, string(out))
	}
	for _, want := range []string{"release ", "heron ", "0 lines are open", "boards  ", "plans and tallies  ", "calls turned away ", "waiting ", "321 ", "--waiting", "the default of solves"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%q is missing in:\n%s", want, out)
		}
	}
	if strings.Contains(string(out), secret) {
		t.Error("the token is printed")
	}
}
