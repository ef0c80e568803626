package screen

import (
	"embed"
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

//go:embed web
var web embed.FS

const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// beat is the interval of events to a browser if nothing changes. A browser that gets
// none for three beats shows nothing any more.
const beat = time.Second

// mostViewers limits the browsers served at once.
const mostViewers = 32

// Handler serves the screen at / and its events at /events.
func (s *Screen) Handler() http.Handler {
	mux := http.NewServeMux()
	for path, file := range map[string]struct{ name, kind string }{
		"GET /{$}":        {"screen.html", "text/html; charset=utf-8"},
		"GET /screen.js":  {"screen.js", "text/javascript; charset=utf-8"},
		"GET /screen.css": {"screen.css", "text/css; charset=utf-8"},
	} {
		body, err := web.ReadFile("web/" + file.name)
		if err != nil {
			panic("screen: " + err.Error()) // the files are embedded
		}
		mux.HandleFunc(path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", file.kind)
			_, _ = w.Write(body) // the browser has disconnected
		})
	}
	mux.HandleFunc("GET /events", s.events)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		mux.ServeHTTP(w, r)
	})
}

// events sends the whole picture at once, when it changes, and at every beat, as
// server-sent events.
func (s *Screen) events(w http.ResponseWriter, r *http.Request) {
	if !s.enter() {
		http.Error(w, fmt.Sprintf("more than %d screens are open", mostViewers), http.StatusServiceUnavailable)
		return
	}
	defer s.leave()
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	tick := time.NewTicker(beat)
	defer tick.Stop()
	for {
		p, changed := s.look()
		text, err := json.Marshal(p)
		if err != nil {
			return
		}
		// A browser that reads nothing must not block this forever.
		_ = out.SetWriteDeadline(time.Now().Add(5 * beat))
		if _, err := fmt.Fprintf(w, "data: %s\n\n", text); err != nil || out.Flush() != nil {
			return
		}
		select {
		case <-changed:
		case <-tick.C:
		case <-r.Context().Done():
			return
		}
	}
}

func (s *Screen) enter() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.viewers == mostViewers {
		return false
	}
	s.viewers++
	return true
}

func (s *Screen) leave() {
	s.mu.Lock()
	s.viewers--
	s.mu.Unlock()
}
