// Package page serves the pages for people: to commission a saw, to see what the service
// makes of a board, and to learn how it answers.
//
// It is plain HTML, CSS and JavaScript modules, embedded unchanged. In the browser it
// calls the service as any JSON caller does, sends nothing to any other host, and stores
// the choice of theme and units and, until its tab is closed, what is edited.
package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/secure"
	"github.com/ripwright/ripwright/solver/picture/marks"
	"github.com/ripwright/ripwright/testdata/demo"
)

//go:embed web
var web embed.FS

// Config of the page.
type Config struct {
	GRPCPort string                    // where gRPC callers connect, for the calls that it shows
	MaxBody  int64                     // bytes of a request over HTTP
	TLS      bool                      // callers need TLS
	Tokens   *secure.Tokens            // nil: callers need none
	Saws     func() []*ripwrightv1.Saw // the named saws, in order of their names
}

// policy lets the page load its own files and call the service, and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'"

// Register adds the page's paths to a mux: / and all below /page/.
func Register(mux *http.ServeMux, c Config) error {
	files, err := fs.Sub(web, "web")
	if err != nil {
		return err
	}
	index, err := fs.ReadFile(files, "index.html")
	if err != nil {
		return err
	}
	mux.Handle("/{$}", still("text/html; charset=utf-8", index))
	err = fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := fs.ReadFile(files, name)
		mux.Handle("/page/"+name, still(kindOf(name), body))
		return err
	})
	if err != nil {
		return err
	}
	table, err := marksTable()
	if err != nil {
		return err
	}
	mux.Handle("/page/marks-table.js", still(kindOf(".js"), table))
	fields, err := limitsJSON()
	if err != nil {
		return err
	}
	mux.Handle("/page/limits.json", still("application/json", fields))
	mill, err := millJSON()
	if err != nil {
		return err
	}
	mux.Handle("/page/mill.json", still("application/json", mill))
	words, err := wordsJSON()
	if err != nil {
		return err
	}
	mux.Handle("/page/words.json", still("application/json", words))
	about, err := json.Marshal(map[string]any{"grpc_port": c.GRPCPort, "tls": c.TLS, "max_body": c.MaxBody, "tokens": c.Tokens != nil})
	if err != nil {
		return err
	}
	mux.Handle("/page/about.json", still("application/json", about))
	mux.Handle("/page/saws.json", safe(c.Tokens.Page(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		body, err := sawsJSON(c.Saws())
		if err != nil {
			http.Error(w, "the saws cannot be shown", http.StatusInternalServerError)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Cache-Control", "no-store") // private to the mill
		_, _ = w.Write(body)                        // the caller has gone; nothing to tell it
	}), secure.Line, secure.Office).ServeHTTP))
	return nil
}

// kindOf gives the media type of a file by its name. The machine's own table may differ,
// so the few types needed are listed here.
func kindOf(name string) string {
	switch path.Ext(name) {
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".html":
		return "text/html; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	case "":
		return "text/plain; charset=utf-8" // a licence
	}
	return mime.TypeByExtension(path.Ext(name))
}

// safe holds browsers to the page's policy, and admits only methods that read.
func safe(next http.HandlerFunc) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "only GET is allowed here", http.StatusMethodNotAllowed)
			return
		}
		next(w, r)
	})
}

// still serves content that does not change while the service runs. Browsers ask each
// time, since the next release has other content, and are told that their copy is
// current.
func still(kind string, body []byte) http.Handler {
	sum := sha256.Sum256(body)
	tag := `"` + hex.EncodeToString(sum[:12]) + `"`
	return safe(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Cache-Control", "no-cache")
		w.Header().Set("ETag", tag)
		if strings.Contains(r.Header.Get("If-None-Match"), tag) {
			w.WriteHeader(http.StatusNotModified)
			return
		}
		_, _ = w.Write(body) // the caller has gone; nothing to tell it
	})
}

// marksTable is the module that tells the page how items are distinguished.
func marksTable() ([]byte, error) {
	patterns, err := json.Marshal(marks.Patterns())
	return fmt.Appendf(nil, "export const tints = %d;\nexport const patterns = %s;\n", len(marks.Tints()), patterns), err
}

// millJSON puts the demo's files into one.
func millJSON() ([]byte, error) {
	boards := bytes.ReplaceAll(bytes.TrimSpace(demo.Boards), []byte("\n"), []byte(",\n"))
	mill := fmt.Appendf(nil, "{\"saws\": %s, \"order\": %s, \"boards\": [%s]}\n", demo.Saws, demo.Order, boards)
	var out bytes.Buffer
	err := json.Compact(&out, mill)
	return out.Bytes(), err
}

func sawsJSON(saws []*ripwrightv1.Saw) ([]byte, error) {
	list := make([]json.RawMessage, len(saws))
	for i, s := range saws {
		one, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(s)
		if err != nil {
			return nil, err
		}
		list[i] = one
	}
	return json.Marshal(list)
}
