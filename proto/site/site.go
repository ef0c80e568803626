// Package site keeps pages of other sites away from the HTTP side: a browser runs
// whatever page it is shown, and that page's requests come from the user's own machine,
// within the plant's network.
//
// Two things reveal such a request. A page of another site says so in Origin (RFC 6454)
// and Sec-Fetch-Site (W3C Fetch Metadata), which pages cannot change. A page whose own
// name was made to resolve to this address (DNS rebinding) says that name in Host. So the
// service may be called only by known names: addresses, localhost, the names of the
// certificate and those configured. Programs send neither Origin nor Sec-Fetch-Site, and
// are served under any of these names.
package site

import (
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"
)

// Names are those by which the HTTP side may be called, in addition to addresses and
// localhost.
type Names struct {
	Own       []string               // names, or names with a port, in lower case
	Certified func(name string) bool // whether the certificate has the name; nil: there is no certificate
}

// Split reads a list of names as the setting writes it.
func Split(list string) (names []string) {
	for name := range strings.SplitSeq(list, ",") {
		if name = strings.ToLower(strings.TrimSpace(name)); name != "" {
			names = append(names, name)
		}
	}
	return names
}

// Valid reports whether a list holds only names: no schemes, paths or wildcards, which
// would admit more than is meant.
func Valid(list string) bool {
	return !slices.ContainsFunc(Split(list), func(name string) bool {
		u, err := url.Parse("http://" + name)
		return err != nil || u.Host != name || u.Hostname() == "" || strings.ContainsAny(name, "*@ ")
	})
}

// Why says why a request is refused; the zero value: it is not refused.
type Why int

// Reasons.
const (
	Welcome Why = iota
	UnknownHost
	OtherSite
)

// Of says whether a request may be answered.
func (n Names) Of(r *http.Request) Why {
	if !n.Known(r.Host) {
		return UnknownHost
	}
	for _, o := range r.Header.Values("Origin") {
		if !n.own(o, r.Host) {
			return OtherSite
		}
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return Welcome
	}
	// A link on another site may lead people to a page here.
	if r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document" &&
		!strings.HasPrefix(r.URL.Path, "/v1/") {
		return Welcome
	}
	return OtherSite
}

// Known reports whether the service may be called by a Host header. A request without one
// does not come from a browser.
func (n Names) Known(host string) bool {
	if host == "" {
		return true
	}
	whole, name := strings.ToLower(host), hostname(host)
	if _, err := netip.ParseAddr(name); err == nil {
		return true
	}
	return name == "localhost" || strings.HasSuffix(name, ".localhost") || // RFC 6761: never resolves elsewhere
		slices.Contains(n.Own, whole) || slices.Contains(n.Own, name) || n.Certified != nil && n.Certified(name)
}

// own reports whether an Origin is this service's: that of the page which it serves
// itself, or one of its configured names, if a proxy calls it by another.
func (n Names) own(origin, host string) bool {
	u, err := url.Parse(origin)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return false // including "null"
	}
	whole := strings.ToLower(u.Host)
	return whole == strings.ToLower(host) || slices.Contains(n.Own, whole) || slices.Contains(n.Own, hostname(whole))
}

// hostname is a host without its port, brackets and last dot.
func hostname(host string) string {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.TrimSuffix(strings.TrimPrefix(name, "["), "]")
	return strings.ToLower(strings.TrimSuffix(name, "."))
}
