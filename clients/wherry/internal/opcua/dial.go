// Package opcua reads and writes a PLC's words by OPC UA: by reading, never by
// notifications.
//
// A notification can be dropped, and what is read after it can belong to the next board;
// a word that is read together with what it is about cannot.
package opcua

import (
	"context"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"os"
	"slices"
	"time"

	"github.com/gopcua/opcua"
	"github.com/gopcua/opcua/ua"

	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// Config of a connection.
type Config struct {
	Endpoint string // opc.tcp://host:port/path
	// Policy is the name of a security policy, such as Basic256Sha256. Messages are signed
	// and encrypted. Empty: none, which needs Unsecured.
	Policy    string
	Unsecured bool
	// Certificate and Key are the bridge's own files, PEM or DER.
	Certificate, Key string
	// Server is a file with the PLC's certificate. Any other is refused.
	Server         string
	User, Password string
	// Namespace is the URI for nodes that name none.
	Namespace string
	// Words are nodes by the contract's names: an identifier such as s=Hand.Boot or i=17,
	// or nsu=URI;s=Hand.Boot.
	Words map[string]string
	// Unit is the number of mm in the PLC's unit of length, if its server does not give
	// it.
	Unit    float64
	Slots   int           // of the ring
	Timeout time.Duration // of each request
}

// ErrCertificate says that the PLC shows another certificate than the configured one.
var ErrCertificate = errors.New("the PLC's certificate is not plc.opcua.server_certificate")

// Dial connects, and finds every word.
func Dial(ctx context.Context, c Config) (*PLC, error) {
	options := []opcua.Option{opcua.AutoReconnect(false), opcua.RequestTimeout(c.Timeout), opcua.DialTimeout(c.Timeout), opcua.SessionName("wherry"), opcua.ApplicationName("wherry")}
	secured, err := c.secured(ctx)
	if err != nil {
		return nil, err
	}
	client, err := opcua.NewClient(c.Endpoint, append(options, secured...)...)
	if err != nil {
		return nil, err
	}
	if err := client.Connect(ctx); err != nil {
		return nil, errors.Join(plc.ErrGone, err)
	}
	p := &PLC{client: client, words: map[string]*word{}, slots: c.Slots, timeout: c.Timeout}
	if err := p.find(ctx, &c); err != nil {
		return nil, errors.Join(err, p.Close())
	}
	return p, nil
}

// secured gives the options that secure a connection: the policy and the PLC's
// certificate, which is the configured one, whatever the PLC shows before encryption.
func (c *Config) secured(ctx context.Context) ([]opcua.Option, error) {
	if c.Policy == "" {
		if !c.Unsecured {
			return nil, errors.New("plc.opcua.policy is not set, so the connection is neither signed nor encrypted; allow it with --without-security")
		}
		return append([]opcua.Option{opcua.SecurityPolicy("None"), opcua.SecurityMode(ua.MessageSecurityModeNone)}, c.user("")...), nil
	}
	noted, err := certificate(c.Server)
	if err != nil {
		return nil, fmt.Errorf("the PLC's certificate: %w", err)
	}
	own, err := certificate(c.Certificate)
	if err != nil {
		return nil, fmt.Errorf("the bridge's certificate: %w", err)
	}
	key, err := privateKey(c.Key)
	if err != nil {
		return nil, fmt.Errorf("the bridge's key: %w", err)
	}
	within, cancel := context.WithTimeout(ctx, c.Timeout)
	defer cancel()
	all, err := opcua.GetEndpoints(within, c.Endpoint, opcua.DialTimeout(c.Timeout))
	if err != nil {
		return nil, errors.Join(plc.ErrGone, err)
	}
	at := slices.IndexFunc(all, func(e *ua.EndpointDescription) bool {
		return e.SecurityPolicyURI == ua.FormatSecurityPolicyURI(c.Policy) && e.SecurityMode == ua.MessageSecurityModeSignAndEncrypt
	})
	if at < 0 {
		return nil, fmt.Errorf("the PLC offers no signed and encrypted endpoint with policy %s", c.Policy)
	}
	if shown := all[at].ServerCertificate; !slices.Equal(shown, noted) {
		return nil, fmt.Errorf("%w: its SHA-256 is %x, want %x", ErrCertificate, sha256.Sum256(shown), sha256.Sum256(noted))
	}
	kind := ua.UserTokenTypeAnonymous
	if c.User != "" {
		kind = ua.UserTokenTypeUserName
	}
	options := append([]opcua.Option{opcua.Certificate(own), opcua.PrivateKey(key)}, c.user(c.Policy)...)
	return append(options, opcua.SecurityFromEndpoint(all[at], kind), opcua.RemoteCertificate(noted)), nil
}

func (c *Config) user(policy string) []opcua.Option {
	if c.User == "" {
		return []opcua.Option{opcua.AuthAnonymous()}
	}
	if policy == "" {
		return []opcua.Option{opcua.AuthUsername(c.User, c.Password), opcua.AuthPolicyID("username")}
	}
	return []opcua.Option{opcua.AuthUsername(c.User, c.Password)}
}

// certificate reads a certificate, which must be valid now.
func certificate(file string) ([]byte, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	if b, _ := pem.Decode(text); b != nil {
		text = b.Bytes
	}
	x, err := x509.ParseCertificate(text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if now := time.Now(); now.Before(x.NotBefore) || now.After(x.NotAfter) {
		return nil, fmt.Errorf("%s: valid only from %s to %s", file, x.NotBefore.Format(time.DateOnly), x.NotAfter.Format(time.DateOnly))
	}
	return text, nil
}

func privateKey(file string) (*rsa.PrivateKey, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	if b, _ := pem.Decode(text); b != nil {
		text = b.Bytes
	}
	if k, err := x509.ParsePKCS1PrivateKey(text); err == nil {
		return k, nil
	}
	k, err := x509.ParsePKCS8PrivateKey(text)
	if err != nil {
		return nil, fmt.Errorf("%s: no RSA key: %w", file, err)
	}
	key, ok := k.(*rsa.PrivateKey)
	if !ok {
		return nil, fmt.Errorf("%s: a %T, not an RSA key", file, k)
	}
	return key, nil
}
