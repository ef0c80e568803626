package command

import (
	"errors"
	"net/http"

	"github.com/spf13/pflag"
	"google.golang.org/grpc"

	"github.com/ripwright/ripwright/clients/internal/access"
)

// accessFlags adds the flags for authentication and for trust in the service.
func accessFlags(f *pflag.FlagSet, a *access.Access) {
	f.BoolVar(&a.TLS, "tls", false, "use TLS and trust the authorities that this machine trusts")
	f.StringVar(&a.CA, "tls-ca", "", "use TLS and trust the authorities in this PEM `file`")
	f.StringVar(&a.Cert, "tls-cert", "", "PEM `file` of a certificate of your own, where the service wants one")
	f.StringVar(&a.Key, "tls-key", "", "PEM `file` of its key")
	f.StringVar(&a.TokenFile, "token-file", "", "`file` with the bearer token, where the service wants one")
}

// dialing gives the options for a connection to server.
func dialing(a *access.Access, server string) ([]grpc.DialOption, error) {
	options, err := a.Dialing(server)
	return options, byFlag(err, "add --tls-ca file or --tls")
}

// byFlag reports a fault by its flag, and how to avoid sending a token unencrypted.
func byFlag(err error, instead string) error {
	var f *access.Fault
	if !errors.As(err, &f) {
		return err
	}
	flag := map[access.Part]string{access.CA: "--tls-ca", access.Pair: "--tls-cert and --tls-key", access.Token: "--token-file"}[f.Part]
	switch {
	case errors.Is(err, access.ErrOpen):
		return usage("%s: %v; %s", flag, err, instead)
	case f.Misuse:
		return usage("%s: %v", flag, err)
	}
	return input("%s: %w", flag, err)
}

// webOf gives a client for a page of the service, and adds the token to the request.
func webOf(a *access.Access, q *http.Request) (*http.Client, error) {
	cfg, err := a.Config()
	if err != nil {
		return nil, byFlag(err, "")
	}
	token, err := a.Token(q.URL.Scheme == "https", q.URL.Host)
	if err != nil {
		return nil, byFlag(err, "write https")
	}
	if token != "" {
		q.Header.Set("Authorization", "Bearer "+token)
	}
	return &http.Client{Transport: &http.Transport{TLSClientConfig: cfg, DisableKeepAlives: true}}, nil
}
