//go:build verify

package scraped

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/json"
	"encoding/pem"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// certificate writes one for 127.0.0.1, signed by itself, and its key.
func certificate(t *testing.T, dir string, until time.Time) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	of := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "mill"}, NotAfter: until,
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature}
	signed, err := x509.CreateCertificate(rand.Reader, of, of, private.Public(), private)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	put(t, cert, string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: signed})))
	put(t, key, string(pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: raw})))
	return cert, key
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// real is a running Prometheus.
type real struct {
	t  *testing.T
	at string
}

// start runs a Prometheus by a configuration, once promtool finds nothing wrong with
// it, and waits until it is ready.
func start(t *testing.T, dir, config string) *real {
	t.Helper()
	path := filepath.Join(dir, "prometheus.yml")
	put(t, path, config)
	if out, err := exec.Command("promtool", "check", "config", path).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	r := &real{t, l.Addr().String()}
	_ = l.Close() // for Prometheus to listen on
	cmd := exec.Command("prometheus", "--config.file="+path, "--storage.tsdb.path="+filepath.Join(dir, "data"),
		"--web.listen-address="+r.at, "--log.level=error")
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait() // killed
	})
	r.until("Prometheus is ready", func() bool {
		a, err := http.Get("http://" + r.at + "/-/ready")
		if err != nil {
			return false
		}
		_ = a.Body.Close()
		return a.StatusCode == http.StatusOK
	})
	return r
}

// until waits for something that has to come.
func (r *real) until(what string, ok func() bool) {
	r.t.Helper()
	for end := time.Now().Add(2 * time.Minute); !ok(); time.Sleep(100 * time.Millisecond) {
		if time.Now().After(end) {
			r.t.Fatalf("in vain: %s", what)
		}
	}
}

// sample is one series of an answer.
type sample struct {
	Metric map[string]string
	Value  [2]any
}

// query asks an instant query; what is wrong with it ends the test.
func (r *real) query(q string) []sample {
	r.t.Helper()
	a, err := http.Get("http://" + r.at + "/api/v1/query?query=" + url.QueryEscape(q))
	if err != nil {
		r.t.Fatal(err)
	}
	defer func() { _ = a.Body.Close() }()
	var body struct {
		Status, Error string
		Data          struct{ Result []sample }
	}
	if err := json.NewDecoder(a.Body).Decode(&body); err != nil || body.Status != "success" {
		r.t.Fatalf("%s: %v %s", q, err, body.Error)
	}
	return body.Data.Result
}

// alerts gives the alerts that are pending or firing, by name.
func (r *real) alerts() map[string]bool {
	r.t.Helper()
	all := map[string]bool{}
	for _, s := range r.query(`ALERTS`) {
		all[s.Metric["alertname"]] = true
	}
	return all
}
