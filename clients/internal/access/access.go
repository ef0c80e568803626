// Package access secures clients' connections: TLS 1.3, a client certificate, and a
// bearer token that is never sent unencrypted.
package access

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"os"
	"strings"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
)

// Access to a service.
type Access struct {
	TLS       bool   // trusts the system's certificate authorities
	CA        string // PEM file of the authorities that are trusted instead
	Cert, Key string // PEM files of the client's certificate and key
	TokenFile string // file with the bearer token
}

// Part of an access, for clients that have their own names for them.
type Part int

// The parts.
const (
	CA Part = iota
	Pair
	Token
)

// Fault is what is wrong with an access.
type Fault struct {
	Part   Part
	Misuse bool // the settings conflict; no file is at fault
	Err    error
}

func (f *Fault) Error() string { return f.Err.Error() }

// Unwrap gives the cause.
func (f *Fault) Unwrap() error { return f.Err }

// ErrOpen is the cause if a token would be sent without TLS to another machine.
var ErrOpen = errors.New("the token would be sent in the clear")

// Secured reports whether TLS is used.
func (a *Access) Secured() bool { return a.TLS || a.CA != "" || a.Cert != "" || a.Key != "" }

// Dialing gives the options for connections to addresses (host:port). An error is a
// *Fault.
func (a *Access) Dialing(addresses ...string) ([]grpc.DialOption, error) {
	transport, err := a.Transport()
	if err != nil {
		return nil, err
	}
	token, err := a.Token(a.Secured(), addresses...)
	if err != nil {
		return nil, err
	}
	options := []grpc.DialOption{grpc.WithTransportCredentials(transport)}
	if token != "" {
		options = append(options, grpc.WithPerRPCCredentials(bearer{token, a.Secured()}))
	}
	return options, nil
}

// Transport gives the transport credentials. An error is a *Fault.
func (a *Access) Transport() (credentials.TransportCredentials, error) {
	if !a.Secured() {
		return insecure.NewCredentials(), nil
	}
	cfg, err := a.Config()
	if err != nil {
		return nil, err
	}
	return credentials.NewTLS(cfg), nil
}

// Config gives the settings of TLS. An error is a *Fault.
func (a *Access) Config() (*tls.Config, error) {
	cfg := &tls.Config{MinVersion: tls.VersionTLS13}
	if a.CA != "" {
		text, err := os.ReadFile(a.CA)
		if err != nil {
			return nil, &Fault{Part: CA, Err: err}
		}
		if cfg.RootCAs = x509.NewCertPool(); !cfg.RootCAs.AppendCertsFromPEM(text) {
			return nil, &Fault{Part: CA, Err: fmt.Errorf("%s holds no certificate in PEM form", a.CA)}
		}
	}
	switch {
	case a.Cert == "" && a.Key == "":
	case a.Cert == "" || a.Key == "":
		return nil, &Fault{Part: Pair, Misuse: true, Err: errors.New("the certificate and its key go together; give both")}
	default:
		pair, err := tls.LoadX509KeyPair(a.Cert, a.Key)
		if err != nil {
			return nil, &Fault{Part: Pair, Err: err}
		}
		cfg.Certificates = []tls.Certificate{pair}
	}
	return cfg, nil
}

// Token reads the token for addresses; "": there is none. An error is a *Fault.
func (a *Access) Token(secured bool, addresses ...string) (string, error) {
	if a.TokenFile == "" {
		return "", nil
	}
	for _, at := range addresses {
		if !secured && !loopback(at) {
			return "", &Fault{Part: Token, Misuse: true, Err: fmt.Errorf("%w to %s", ErrOpen, at)}
		}
	}
	text, err := os.ReadFile(a.TokenFile)
	if err != nil {
		return "", &Fault{Part: Token, Err: err}
	}
	token := strings.TrimSpace(string(text))
	if token == "" {
		return "", &Fault{Part: Token, Err: fmt.Errorf("%s is empty", a.TokenFile)}
	}
	return token, nil
}

// loopback reports whether what is sent to an address stays on this machine.
func loopback(at string) bool {
	host, _, err := net.SplitHostPort(at)
	ip := net.ParseIP(host)
	return err == nil && (host == "localhost" || ip != nil && ip.IsLoopback())
}

// bearer sends a token with every call.
type bearer struct {
	token   string
	secured bool
}

func (b bearer) GetRequestMetadata(context.Context, ...string) (map[string]string, error) {
	return map[string]string{"authorization": "Bearer " + b.token}, nil
}

// RequireTransportSecurity ensures that the token is not sent without TLS if TLS is set.
func (b bearer) RequireTransportSecurity() bool { return b.secured }
