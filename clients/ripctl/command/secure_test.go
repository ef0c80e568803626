package command

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/secure"
)

// certificate writes a self-signed certificate, for either side of a connection.
func certificate(t *testing.T, dir string) (cert, key string) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "a test"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IsCA: true, BasicConstraintsValid: true, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		KeyUsage:    x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth},
	}
	raw, err := x509.CreateCertificate(rand.Reader, c, c, &k.PublicKey, k)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalECPrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for path, b := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: raw}, key: {Type: "EC PRIVATE KEY", Bytes: secret}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(b), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

// A service that requires TLS, a certificate and a token accepts only callers with all
// three.
func TestSecured(t *testing.T) {
	dir := t.TempDir()
	cert, key := certificate(t, dir)
	keys, err := secure.LoadKeys(cert, key, cert)
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(dir, "tokens.yaml")
	const token, reader = "a-token-of-enough-characters", "another-one-that-may-only-read"
	for name, text := range map[string]string{
		"tokens.yaml": "- {name: a, token: " + token + ", scopes: [office]}\n- {name: b, token: " + reader + ", scopes: [read]}\n",
		"token":       token + "\n", "wrong": token + "x\n", "reader": reader, "empty": "",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	tokens, err := secure.LoadTokens(list)
	if err != nil {
		t.Fatal(err)
	}
	b := openWith(t, app.Config{Keys: keys, Tokens: tokens})
	for _, c := range []struct {
		args   string
		status int
		says   string
	}{
		{"--tls-ca CERT --tls-cert CERT --tls-key KEY --token-file DIR/token", 0, ""},
		{"--tls-ca CERT --tls-cert CERT --tls-key KEY --token-file DIR/wrong", statusServer, "--token-file"},
		{"--tls-ca CERT --tls-cert CERT --tls-key KEY", statusServer, "--token-file"},
		{"--tls-ca CERT --tls-cert CERT --tls-key KEY --token-file DIR/reader", statusServer, "the scope line or office"},
		{"--tls-ca CERT --token-file DIR/token --wait 0s", statusServer, "nothing answers"},
		{"--tls --tls-cert CERT --tls-key KEY --token-file DIR/token --wait 0s", statusServer, "nothing answers"},
		{"--token-file DIR/token --wait 0s", statusServer, "--tls-ca file"},
	} {
		args := append(strings.Fields(strings.NewReplacer("CERT", cert, "KEY", key, "DIR", dir).Replace(c.args)), about("solve")...)
		if _, errs := b.run(t, c.status, args...); !strings.Contains(errs, c.says) || strings.Contains(errs, token) {
			t.Errorf("%s says %q\nwant %q", c.args, errs, c.says)
		}
	}
}
