package app

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/secure"
)

// authority issues certificates for a test.
type authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
	n    int64
}

func issuer(t *testing.T) *authority {
	t.Helper()
	a := &authority{}
	a.cert, a.key = a.issue(t, "authority", true)
	return a
}

func (a *authority) issue(t *testing.T, name string, ca bool) (*x509.Certificate, *ecdsa.PrivateKey) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	a.n++
	c := &x509.Certificate{
		SerialNumber: big.NewInt(a.n), Subject: pkix.Name{CommonName: name},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IsCA: ca, BasicConstraintsValid: true, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		KeyUsage:    x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth},
	}
	parent, signer := c, key
	if a.cert != nil {
		parent, signer = a.cert, a.key
	}
	raw, err := x509.CreateCertificate(rand.Reader, c, parent, &key.PublicKey, signer)
	if err != nil {
		t.Fatal(err)
	}
	if c, err = x509.ParseCertificate(raw); err != nil {
		t.Fatal(err)
	}
	return c, key
}

// files writes a certificate and its key to the files that the service reads.
func (a *authority) files(t *testing.T, dir, name string) (cert, key string) {
	t.Helper()
	c, k := a.issue(t, name, false)
	raw, err := x509.MarshalECPrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	pemFile(t, cert, "CERTIFICATE", c.Raw)
	pemFile(t, key, "EC PRIVATE KEY", raw)
	return cert, key
}

func pemFile(t *testing.T, path, kind string, raw []byte) {
	t.Helper()
	if err := os.WriteFile(path, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: raw}), 0o600); err != nil {
		t.Fatal(err)
	}
}

// trust gives the configuration of a client.
func (a *authority) trust() *tls.Config {
	pool := x509.NewCertPool()
	pool.AddCert(a.cert)
	return &tls.Config{RootCAs: pool}
}

func (r *replica) end(t *testing.T) {
	t.Helper()
	r.stop()
	if err := <-r.ended; err != nil {
		t.Error(err)
	}
}

// With a certificate gRPC and JSON callers need TLS 1.3, and a new certificate is loaded
// without dropping a connection.
func TestTLS(t *testing.T) {
	noLeaks(t)
	ca, dir := issuer(t), t.TempDir()
	cert, key := ca.files(t, dir, "first")
	keys, err := secure.LoadKeys(cert, key, "")
	if err != nil {
		t.Fatal(err)
	}
	r := run(t, loopback(Config{Keys: keys, Drain: 10 * time.Second}))
	defer r.end(t)

	conn, err := grpc.NewClient(r.GRPC(), grpc.WithTransportCredentials(credentials.NewTLS(ca.trust())))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	client := ripwrightv1.NewRipServiceClient(conn)
	if _, err := client.SolveBoard(t.Context(), request(t)); err != nil {
		t.Fatal(err)
	}
	web := &http.Client{Transport: &http.Transport{TLSClientConfig: ca.trust()}}
	defer web.CloseIdleConnections()
	name := func() string {
		t.Helper()
		answer, err := web.Get("https://" + r.HTTP() + "/readyz")
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = answer.Body.Close() }()
		_, _ = io.Copy(io.Discard, answer.Body)
		if answer.StatusCode != http.StatusOK || answer.TLS.Version != tls.VersionTLS13 {
			t.Errorf("%s over TLS version %x", answer.Status, answer.TLS.Version)
		}
		return answer.TLS.PeerCertificates[0].Subject.CommonName
	}
	if n := name(); n != "first" {
		t.Errorf("the certificate is %q", n)
	}

	for what, c := range map[string]func() error{
		"no TLS": func() error {
			plain := dial(t, r.GRPC())
			defer func() { _ = plain.Close() }()
			_, err := ripwrightv1.NewRipServiceClient(plain).SolveBoard(t.Context(), request(t))
			return err
		},
		"TLS 1.2": func() error {
			old := ca.trust()
			old.MaxVersion = tls.VersionTLS12
			c, err := tls.Dial("tcp", r.HTTP(), old)
			if err == nil {
				_ = c.Close()
			}
			return err
		},
		"another authority": func() error {
			c, err := tls.Dial("tcp", r.HTTP(), issuer(t).trust())
			if err == nil {
				_ = c.Close()
			}
			return err
		},
	} {
		if c() == nil {
			t.Errorf("%s was accepted", what)
		}
	}

	ca.files(t, dir, "second")
	r.Reload()
	if _, err := client.SolveBoard(t.Context(), request(t)); err != nil {
		t.Errorf("the connection from before: %v", err)
	}
	web.CloseIdleConnections()
	if n := name(); n != "second" {
		t.Errorf("after the new files the certificate is %q", n)
	}
	// A faulty file changes nothing.
	if err := os.WriteFile(key, []byte("nonsense"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Reload()
	web.CloseIdleConnections()
	if n := name(); n != "second" {
		t.Errorf("after a bad file the certificate is %q", n)
	}
	if _, err := secure.LoadKeys(cert, key, ""); err == nil {
		t.Error("a start with a bad key file")
	}
}

// If clients need a certificate, a client without one, or with one from another
// authority, is refused.
func TestClientCertificates(t *testing.T) {
	noLeaks(t)
	ca, dir := issuer(t), t.TempDir()
	cert, key := ca.files(t, dir, "service")
	clients := filepath.Join(dir, "clients.pem")
	pemFile(t, clients, "CERTIFICATE", ca.cert.Raw)
	keys, err := secure.LoadKeys(cert, key, clients)
	if err != nil {
		t.Fatal(err)
	}
	r := run(t, loopback(Config{Keys: keys, Drain: 10 * time.Second}))
	defer r.end(t)
	call := func(by *authority) error {
		c := ca.trust()
		if by != nil {
			mine, k := by.issue(t, "line 3", false)
			c.Certificates = []tls.Certificate{{Certificate: [][]byte{mine.Raw}, PrivateKey: k}}
		}
		conn, err := grpc.NewClient(r.GRPC(), grpc.WithTransportCredentials(credentials.NewTLS(c)))
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = conn.Close() }()
		_, err = ripwrightv1.NewRipServiceClient(conn).SolveBoard(t.Context(), request(t))
		return err
	}
	if err := call(ca); err != nil {
		t.Error(err)
	}
	if call(nil) == nil || call(issuer(t)) == nil {
		t.Error("a client without a trusted certificate was accepted")
	}
}

// Tokens are required over gRPC and JSON alike, also for metrics but not for health.
func TestTokens(t *testing.T) {
	noLeaks(t)
	const line, office, read = "line-0123456789abcdefgh", "office-0123456789abcdef", "read-0123456789abcdefgh"
	file := filepath.Join(t.TempDir(), "tokens.yaml")
	text := "- {name: a, token: " + line + ", scopes: [line]}\n- {name: b, token: " + office +
		", scopes: [office]}\n- {name: c, token: " + read + ", scopes: [read]}\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	tokens, err := secure.LoadTokens(file)
	if err != nil {
		t.Fatal(err)
	}
	r := run(t, loopback(Config{Tokens: tokens, Drain: 10 * time.Second}))
	defer r.end(t)
	conn := dial(t, r.GRPC())
	defer func() { _ = conn.Close() }()
	body, err := protojson.Marshal(request(t))
	if err != nil {
		t.Fatal(err)
	}
	fetch := func(method, path, token, body string) int {
		t.Helper()
		req, err := http.NewRequestWithContext(t.Context(), method, "http://"+r.HTTP()+path, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/json")
		if token != "" {
			req.Header.Set("Authorization", "Bearer "+token)
		}
		answer, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = answer.Body.Close() }()
		_, _ = io.Copy(io.Discard, answer.Body)
		return answer.StatusCode
	}
	for _, c := range []struct {
		token string
		code  codes.Code
		http  int
		meter int
	}{
		{"", codes.Unauthenticated, http.StatusUnauthorized, http.StatusUnauthorized},
		{"wrong-0123456789abcdefgh", codes.Unauthenticated, http.StatusUnauthorized, http.StatusUnauthorized},
		{read, codes.PermissionDenied, http.StatusForbidden, http.StatusOK},
		{line, codes.OK, http.StatusOK, http.StatusOK},
		{office, codes.OK, http.StatusOK, http.StatusOK},
	} {
		ctx := t.Context()
		if c.token != "" {
			ctx = metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+c.token)
		}
		_, err := ripwrightv1.NewRipServiceClient(conn).SolveBoard(ctx, request(t))
		if status.Code(err) != c.code {
			t.Errorf("%q by gRPC: %v, want %s", c.token, err, c.code)
		}
		if got := fetch(http.MethodPost, "/v1/boards:solve", c.token, string(body)); got != c.http {
			t.Errorf("%q by JSON: %d, want %d", c.token, got, c.http)
		}
		if got := fetch(http.MethodGet, "/metrics", c.token, ""); got != c.meter {
			t.Errorf("%q for metrics: %d, want %d", c.token, got, c.meter)
		}
		if got := fetch(http.MethodGet, "/readyz", c.token, ""); got != http.StatusOK {
			t.Errorf("%q for readiness: %d", c.token, got)
		}
	}
	if _, err := grpc_health_v1.NewHealthClient(conn).Check(t.Context(), &grpc_health_v1.HealthCheckRequest{}); err != nil {
		t.Errorf("health: %v", err)
	}
}
