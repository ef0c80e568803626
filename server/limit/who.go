package limit

import (
	"context"
	"crypto/tls"
	"net/http"

	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/peer"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/secure"
)

// Who identifies callers. Tokens may be nil.
type Who struct{ Tokens *secure.Tokens }

// RPC names the caller of a gRPC call.
func (w Who) RPC(ctx context.Context, header metadata.MD) string {
	token := ""
	if v := header.Get("authorization"); len(v) > 0 {
		token = v[0]
	}
	p, ok := peer.FromContext(ctx)
	if !ok {
		return w.name(token, nil, "unknown")
	}
	var connection *tls.ConnectionState
	if info, ok := p.AuthInfo.(credentials.TLSInfo); ok {
		connection = &info.State
	}
	return w.name(token, connection, p.Addr.String())
}

// Web names the caller of an HTTP call.
func (w Who) Web(r *http.Request) string {
	return w.name(r.Header.Get("Authorization"), r.TLS, r.RemoteAddr)
}

func (w Who) name(authorization string, connection *tls.ConnectionState, remote string) string {
	if name := w.Tokens.Name(authorization); name != "" {
		return caller.Token(name)
	}
	// Verified certificates only: a server that does not ask for them gets none.
	if connection != nil && len(connection.VerifiedChains) > 0 {
		return caller.Certificate(connection.PeerCertificates[0].Subject.String())
	}
	return caller.Address(remote)
}
