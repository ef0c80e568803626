// Package prometheus runs a real Prometheus for tests and queries it.
package prometheus

import (
	"encoding/json"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// Server is a running Prometheus. It ends with its test.
type Server struct {
	t  testing.TB
	at string
}

// Sample is one series of an answer.
type Sample struct {
	Labels map[string]string
	Value  float64
}

// Start runs a Prometheus with a configuration that promtool has checked, and waits until
// it is ready.
func Start(t testing.TB, config string) *Server {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "prometheus.yml")
	if err := os.WriteFile(path, []byte(config), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("promtool", "check", "config", path).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &Server{t, l.Addr().String()}
	_ = l.Close() // frees the port for Prometheus
	cmd := exec.Command("prometheus", "--config.file="+path, "--storage.tsdb.path="+filepath.Join(dir, "data"),
		"--web.listen-address="+s.at, "--log.level=error")
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait() // killed
	})
	s.Until("Prometheus is ready", func() bool {
		a, err := http.Get("http://" + s.at + "/-/ready")
		if err != nil {
			return false
		}
		_ = a.Body.Close()
		return a.StatusCode == http.StatusOK
	})
	return s
}

// patience allows for a busy machine.
const patience = 2 * time.Minute

// Until waits for a condition that must come true.
func (s *Server) Until(what string, ok func() bool) {
	s.t.Helper()
	for end := time.Now().Add(patience); !ok(); time.Sleep(100 * time.Millisecond) {
		if time.Now().After(end) {
			s.t.Fatalf("timed out waiting for: %s", what)
		}
	}
}

// Query runs an instant query; an error ends the test.
func (s *Server) Query(q string) []Sample {
	s.t.Helper()
	var of struct {
		Result []struct {
			Metric map[string]string
			Value  [2]any
		}
	}
	s.get("/api/v1/query", url.Values{"query": {q}}, &of)
	all := make([]Sample, len(of.Result))
	for i, r := range of.Result {
		text, _ := r.Value[1].(string)
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			s.t.Fatalf("%s: %v", q, err)
		}
		all[i] = Sample{r.Metric, v}
	}
	return all
}

// Rule is a rule that Prometheus evaluates.
type Rule struct{ Name, Type, State, Health, LastError string }

// Rules gives all rules with the result of their last evaluation.
func (s *Server) Rules() (all []Rule) {
	s.t.Helper()
	var of struct{ Groups []struct{ Rules []Rule } }
	s.get("/api/v1/rules", nil, &of)
	for _, g := range of.Groups {
		all = append(all, g.Rules...)
	}
	return all
}

// Values gives the values of a label on the series of a metric.
func (s *Server) Values(metric, label string) (all []string) {
	s.t.Helper()
	s.get("/api/v1/label/"+label+"/values", url.Values{"match[]": {metric}}, &all)
	return all
}

func (s *Server) get(path string, q url.Values, data any) {
	s.t.Helper()
	a, err := http.Get("http://" + s.at + path + "?" + q.Encode())
	if err != nil {
		s.t.Fatal(err)
	}
	defer func() { _ = a.Body.Close() }()
	var body struct {
		Status, Error string
		Data          json.RawMessage
	}
	if err := json.NewDecoder(a.Body).Decode(&body); err != nil || body.Status != "success" {
		s.t.Fatalf("%s %s: %v %s", path, q, err, body.Error)
	}
	if err := json.Unmarshal(body.Data, data); err != nil {
		s.t.Fatalf("%s %s: %v", path, q, err)
	}
}

// By gives the values of an instant query by one of their labels.
func (s *Server) By(label, q string) map[string]float64 {
	s.t.Helper()
	values := map[string]float64{}
	for _, v := range s.Query(q) {
		values[v.Labels[label]] = v.Value
	}
	return values
}
