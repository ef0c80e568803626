// Package caller identifies the caller of a call, for everything that is shared out
// between callers.
//
// A caller is the name of its token, otherwise the subject of its certificate, otherwise
// the address that it calls from, each with its kind in front, so that none can pass for
// another: "token:saw 3", "certificate:CN=line 3", "address:192.0.2.7".
package caller

import (
	"context"
	"net/netip"
)

type key struct{}

// With returns a context whose work is done for this caller.
func With(ctx context.Context, name string) context.Context {
	return context.WithValue(ctx, key{}, name)
}

// Of gives the caller; empty: unknown.
func Of(ctx context.Context) string {
	name, _ := ctx.Value(key{}).(string)
	return name
}

// Token names a caller by its token.
func Token(name string) string { return "token:" + name }

// Certificate names a caller by its certificate's subject.
func Certificate(subject string) string { return "certificate:" + subject }

// Address names a caller by the address and port that it calls from. Of an IPv6 address
// only the first 64 bits count: callers choose the rest.
func Address(remote string) string {
	at, err := netip.ParseAddrPort(remote)
	if err != nil {
		return "address:" + remote
	}
	ip := at.Addr().Unmap().WithZone("")
	if ip.Is6() && !ip.IsLoopback() {
		net, _ := ip.Prefix(64) // never fails: an IPv6 address has that many bits
		return "address:" + net.String()
	}
	return "address:" + ip.String()
}
