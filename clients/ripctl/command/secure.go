package command

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"net"
	"net/http"
	"os"
	"strings"

	"github.com/spf13/pflag"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
)

// access is how ripctl shows who it is and makes sure of whom it talks to.
type access struct {
	tls           bool
	ca, cert, key string
	tokenFile     string
}

func (a *access) flags(f *pflag.FlagSet) {
	f.BoolVar(&a.tls, "tls", false, "use TLS and trust the authorities that this machine trusts")
	f.StringVar(&a.ca, "tls-ca", "", "use TLS and trust the authorities in this PEM `file`")
	f.StringVar(&a.cert, "tls-cert", "", "PEM `file` of a certificate of your own, where the service wants one")
	f.StringVar(&a.key, "tls-key", "", "PEM `file` of its key")
	f.StringVar(&a.tokenFile, "token-file", "", "`file` with the bearer token, where the service wants one")
}

// secured reports whether TLS is used.
func (a *access) secured() bool { return a.tls || a.ca != "" || a.cert != "" || a.key != "" }

// dialing gives what a connection to server needs.
func (a *access) dialing(server string) ([]grpc.DialOption, error) {
	secured := a.secured()
	options := []grpc.DialOption{grpc.WithTransportCredentials(insecure.NewCredentials())}
	if secured {
		cfg, err := a.config()
		if err != nil {
			return nil, err
		}
		options[0] = grpc.WithTransportCredentials(credentials.NewTLS(cfg))
	}
	if a.tokenFile == "" {
		return options, nil
	}
	if !secured && !loopback(server) {
		return nil, usage("--token-file would send the token in the open to %s; add --tls-ca file or --tls", server)
	}
	text, err := os.ReadFile(a.tokenFile)
	if err != nil {
		return nil, input("--token-file: %w", err)
	}
	return append(options, grpc.WithPerRPCCredentials(bearer{strings.TrimSpace(string(text)), secured})), nil
}

func (a *access) config() (*tls.Config, error) {
	cfg := &tls.Config{MinVersion: tls.VersionTLS13}
	if a.ca != "" {
		text, err := os.ReadFile(a.ca)
		if err != nil {
			return nil, input("--tls-ca: %w", err)
		}
		if cfg.RootCAs = x509.NewCertPool(); !cfg.RootCAs.AppendCertsFromPEM(text) {
			return nil, input("--tls-ca: %s holds no certificate in PEM form", a.ca)
		}
	}
	switch {
	case a.cert == "" && a.key == "":
	case a.cert == "" || a.key == "":
		return nil, usage("--tls-cert and --tls-key go together; give both")
	default:
		pair, err := tls.LoadX509KeyPair(a.cert, a.key)
		if err != nil {
			return nil, input("--tls-cert and --tls-key: %w", err)
		}
		cfg.Certificates = []tls.Certificate{pair}
	}
	return cfg, nil
}

// loopback reports whether what is sent to an address stays on this machine.
func loopback(server string) bool {
	host, _, err := net.SplitHostPort(server)
	ip := net.ParseIP(host)
	return err == nil && (host == "localhost" || ip != nil && ip.IsLoopback())
}

// bearer sends a token with every call.
type bearer struct {
	token   string
	secured bool
}

func (b bearer) GetRequestMetadata(context.Context, ...string) (map[string]string, error) {
	if b.token == "" {
		return nil, errors.New("the token file is empty")
	}
	return map[string]string{"authorization": "Bearer " + b.token}, nil
}

// RequireTransportSecurity makes sure that nothing changes its mind about TLS.
func (b bearer) RequireTransportSecurity() bool { return b.secured }

// web gives a client for a page of the service, and the request its token.
func (a *access) web(q *http.Request) (*http.Client, error) {
	cfg, err := a.config()
	if err != nil {
		return nil, err
	}
	if a.tokenFile != "" {
		if q.URL.Scheme != "https" && !loopback(q.URL.Host) {
			return nil, usage("--token-file would send the token in the open to %s; write https", q.URL.Host)
		}
		text, err := os.ReadFile(a.tokenFile)
		if err != nil {
			return nil, input("--token-file: %w", err)
		}
		q.Header.Set("Authorization", "Bearer "+strings.TrimSpace(string(text)))
	}
	return &http.Client{Transport: &http.Transport{TLSClientConfig: cfg, DisableKeepAlives: true}}, nil
}
