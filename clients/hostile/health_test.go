package hostile

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// certificate writes a self-signed certificate and its key.
func certificate(t *testing.T) (cert, key string) {
	t.Helper()
	dir := t.TempDir()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	of := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "hall 2"}, NotAfter: time.Now().Add(time.Hour),
		DNSNames: []string{"rip.example"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true}
	signed, err := x509.CreateCertificate(rand.Reader, of, of, private.Public(), private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, kind string, raw []byte) string {
		at := filepath.Join(dir, name)
		if err := os.WriteFile(at, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: raw}), 0o600); err != nil {
			t.Fatal(err)
		}
		return at
	}
	return write("cert.pem", "CERTIFICATE", signed), write("key.pem", "PRIVATE KEY", secret)
}

// asks gives the answer of a path to a caller at an address.
func asks(t *testing.T, address, url string) (int, string) {
	t.Helper()
	web := &http.Client{Timeout: time.Minute, Transport: &http.Transport{DisableKeepAlives: true,
		DialContext: (&net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}}).DialContext}}
	answer, err := web.Get(url)
	if err != nil {
		t.Errorf("%s: %v", url, err)
		return 0, ""
	}
	defer func() { _ = answer.Body.Close() }()
	text, _ := io.ReadAll(answer.Body)
	return answer.StatusCode, string(text)
}

func answered(t *testing.T, q *http.Request) (int, string, http.Header) {
	t.Helper()
	answer, err := http.DefaultClient.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	text, _ := io.ReadAll(answer.Body)
	return answer.StatusCode, string(text), answer.Header
}

// If callers need certificates, health checks and the probe do not. If tokens are needed,
// metrics are at the health address only if configured.
func TestHealthNeedsNoCertificate(t *testing.T) {
	cert, key := certificate(t)
	for _, shown := range []string{"false", "true"} {
		r := serve(t, "--tls-cert", cert, "--tls-key", key, "--tls-client-ca", cert, "--health", "127.0.0.1:0", "--health-metrics="+shown)
		for path, want := range map[string]int{"/livez": 200, "/readyz": 200, "/v1/saws": 404, "/": 404, "/metrics": map[string]int{"true": 200, "false": 404}[shown]} {
			if got, _ := asks(t, badAddress, "http://"+r.Health+path); got != want {
				t.Errorf("%s: %d, want %d", path, got, want)
			}
		}
		p, err := program()
		if err != nil {
			t.Fatal(err)
		}
		if out, err := replicas.Command(p, "--probe", "--health", r.Health, "--tls-cert", cert, "--tls-key", key, "--tls-client-ca", cert).CombinedOutput(); err != nil {
			t.Errorf("the probe: %v %s", err, out)
		}
		if replicas.Command(p, "--probe", "--http", r.HTTP, "--tls-cert", cert, "--tls-key", key, "--tls-client-ca", cert).Run() == nil {
			t.Error("a probe without a certificate is accepted")
		}
	}
}

// Half-sent calls use up their address's connections, and idle connections to the health
// port close each other: probes from that address get through both.
func TestHealthApartFromCalls(t *testing.T) {
	r := serve(t, "--health", "127.0.0.1:0")
	defer onlooker(t, r)()
	for range 70 { // more than an address may have
		_, _ = io.WriteString(from(t, badAddress, r.HTTP), "POST /v1/boards:solve HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{")
	}
	for range 200 {
		_, _ = io.WriteString(from(t, badAddress, r.Health), "GET /readyz HTTP/1.1\r\n")
	}
	for range 20 {
		if code, text := asks(t, badAddress, "http://"+r.Health+"/readyz"); code != http.StatusOK || text != "ready\n" {
			t.Fatalf("%d %q", code, text)
		}
	}
}
