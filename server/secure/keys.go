package secure

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"sync/atomic"
	"time"

	"github.com/ripwright/ripwright/server/textfile"
)

// Keys are the service's certificate and the authorities whose clients it accepts.
type Keys struct {
	cert, key, clients string // files; clients may be empty
	now                atomic.Pointer[tls.Config]
}

// LoadKeys reads the PEM files of a certificate with its chain, of its key and, unless
// clients is empty, of the authorities that must issue clients' certificates.
func LoadKeys(cert, key, clients string) (*Keys, error) {
	k := &Keys{cert: cert, key: key, clients: clients}
	if err := k.Reload(); err != nil {
		return nil, err
	}
	return k, nil
}

// Reload reads the files again, for connections made from now on. After an error the old
// ones stay.
func (k *Keys) Reload() error {
	cert, err := textfile.Read(k.cert, mostFile)
	if err != nil {
		return fmt.Errorf("tls: %w", err)
	}
	key, err := textfile.Read(k.key, mostFile)
	if err != nil {
		return fmt.Errorf("tls: %w", err)
	}
	pair, err := tls.X509KeyPair(cert, key)
	if err != nil {
		return fmt.Errorf("tls: %w", err)
	}
	c := &tls.Config{MinVersion: tls.VersionTLS13, Certificates: []tls.Certificate{pair}}
	if k.clients != "" {
		pem, err := textfile.Read(k.clients, mostFile)
		if err != nil {
			return fmt.Errorf("tls: %w", err)
		}
		c.ClientCAs = x509.NewCertPool()
		if !c.ClientCAs.AppendCertsFromPEM(pem) {
			return fmt.Errorf("tls: %s: %w", k.clients, errNoCertificate)
		}
		c.ClientAuth = tls.RequireAndVerifyClientCert
	}
	k.now.Store(c)
	return nil
}

var errNoCertificate = errors.New("holds no certificate in PEM form")

// Certified reports whether the certificate has a name.
func (k *Keys) Certified(name string) bool {
	c := k.now.Load().Certificates
	return len(c) > 0 && c[0].Leaf != nil && c[0].Leaf.VerifyHostname(name) == nil
}

// Until is when the certificate in force, or the first of its chain to do so, expires.
func (k *Keys) Until() (until time.Time) {
	for _, pair := range k.now.Load().Certificates {
		for _, raw := range pair.Certificate {
			c, err := x509.ParseCertificate(raw)
			if err == nil && (until.IsZero() || c.NotAfter.Before(until)) {
				until = c.NotAfter
			}
		}
	}
	return until
}

// Config is the configuration of a server for a protocol, "h2" or "http/1.1". Each
// connection gets the keys in force when it is made.
func (k *Keys) Config(protocol string) *tls.Config {
	return &tls.Config{
		MinVersion: tls.VersionTLS13,
		NextProtos: []string{protocol},
		GetConfigForClient: func(*tls.ClientHelloInfo) (*tls.Config, error) {
			c := k.now.Load().Clone()
			c.NextProtos = []string{protocol}
			return c, nil
		},
	}
}
