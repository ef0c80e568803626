// Package health reports whether the service is alive and whether it takes calls. It
// listens for that on a separate address, which shares nothing with calls: no
// certificate, no token, no limit that callers could use up.
package health

import (
	"io"
	"net"
	"net/http"
	"time"
)

// Register adds /livez and /readyz to a mux.
func Register(mux *http.ServeMux, ready func() bool) {
	mux.Handle("/livez", Read(func(w http.ResponseWriter, _ *http.Request) { say(w, http.StatusOK, "alive\n") }))
	mux.Handle("/readyz", Read(func(w http.ResponseWriter, _ *http.Request) {
		if ready() {
			say(w, http.StatusOK, "ready\n")
			return
		}
		say(w, http.StatusServiceUnavailable, "draining\n")
	}))
}

// Read admits only methods that read.
func Read(next http.HandlerFunc) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			w.Header().Set("Allow", "GET, HEAD")
			say(w, http.StatusMethodNotAllowed, "only GET is allowed here\n")
			return
		}
		next(w, r)
	})
}

func say(w http.ResponseWriter, code int, text string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(code)
	_, _ = io.WriteString(w, text) // the caller has gone; nothing to tell it
}

// Bounds on a connection that asks for health. A probe sends its whole request at once.
const (
	patience   = 2 * time.Second
	idle       = 30 * time.Second
	mostHeader = 4 << 10
	most       = 64 // connections
)

// Server serves handlers on a separate listener.
func Server(handler http.Handler) *http.Server {
	p := &http.Protocols{}
	p.SetHTTP1(true)
	return &http.Server{Protocols: p, Handler: handler, ReadHeaderTimeout: patience, ReadTimeout: patience, IdleTimeout: idle, MaxHeaderBytes: mostHeader}
}

// Listen listens on an address. If more connections come than are kept, the oldest is
// closed, so that a caller that opens many and leaves them idle shuts nobody out.
func Listen(address string) (net.Listener, error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, err
	}
	return &newest{Listener: l, most: most}, nil
}
