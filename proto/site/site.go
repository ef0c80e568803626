// Package site keeps pages of other sites away from the HTTP side: a browser runs
// whatever page it is shown, and that page's requests come from the user's own
// machine, from within the plant's network.
//
// Two things give such a request away. A page of another site says so in Origin
// (RFC 6454) and Sec-Fetch-Site (W3C Fetch Metadata), which pages cannot change. A
// page whose own name was made to lead here (DNS rebinding) says that name in Host.
// So the names by which the service may be called are known names: addresses,
// localhost, those of the certificate and those that are set. Programs send neither
// Origin nor Sec-Fetch-Site, and are served under any of these names.
package site

import (
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"
)

// Names are those by which the HTTP side may be called, beside addresses and
// localhost.
type Names struct {
	Own       []string               // names, or names with a port, in lower case
	Certified func(name string) bool // whether the certificate has it; nil: there is none
}

// Split reads a list of names as the setting has it.
func Split(list string) (names []string) {
	for name := range strings.SplitSeq(list, ",") {
		if name = strings.ToLower(strings.TrimSpace(name)); name != "" {
			names = append(names, name)
		}
	}
	return names
}

// Valid reports whether a list holds names alone: no schemes, paths or wildcards,
// which would let in more than is meant.
func Valid(list string) bool {
	return !slices.ContainsFunc(Split(list), func(name string) bool {
		u, err := url.Parse("http://" + name)
		return err != nil || u.Host != name || u.Hostname() == "" || strings.ContainsAny(name, "*@ ")
	})
}

// Why a request is refused; the zero value is no refusal.
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
	// A link on another site may lead people here, to what is there to be looked at.
	if r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document" &&
		!strings.HasPrefix(r.URL.Path, "/v1/") {
		return Welcome
	}
	return OtherSite
}

// Known reports whether the service may be called by a Host header. Without one the
// request comes from no browser.
func (n Names) Known(host string) bool {
	if host == "" {
		return true
	}
	whole, name := strings.ToLower(host), hostname(host)
	if _, err := netip.ParseAddr(name); err == nil {
		return true
	}
	return name == "localhost" || strings.HasSuffix(name, ".localhost") || // RFC 6761: never leads elsewhere
		slices.Contains(n.Own, whole) || slices.Contains(n.Own, name) || n.Certified != nil && n.Certified(name)
}

// own reports whether an Origin is this service's: that of the page which it serves
// itself, or of one of its set names, where a proxy calls it by another.
func (n Names) own(origin, host string) bool {
	u, err := url.Parse(origin)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return false // "null" among them
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
