package page

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/secure"
	"github.com/ripwright/ripwright/solver/picture/marks"
)

func house(t *testing.T, tokens *secure.Tokens) *http.ServeMux {
	t.Helper()
	mux := http.NewServeMux()
	saws := func() []*ripwrightv1.Saw { return []*ripwrightv1.Saw{{Name: "teal", KerfMm: proto.Float64(3.5)}} }
	if err := Register(mux, Config{GRPCPort: "7420", Tokens: tokens, Saws: saws}); err != nil {
		t.Fatal(err)
	}
	return mux
}

func ask(mux http.Handler, method, path string, header http.Header) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, nil)
	for name, v := range header {
		r.Header[name] = v
	}
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, r)
	return w
}

// Every answer holds a browser to the page's own policy, and only reading is allowed.
func TestEveryPathIsHeldToThePolicy(t *testing.T) {
	mux := house(t, nil)
	paths := []string{"/", "/page/mill.json", "/page/about.json", "/page/saws.json", "/page/marks-table.js", "/page/limits.json"}
	_ = fs.WalkDir(web, "web", func(name string, d fs.DirEntry, _ error) error {
		if !d.IsDir() {
			paths = append(paths, "/page/"+strings.TrimPrefix(name, "web/"))
		}
		return nil
	})
	for _, p := range paths {
		w := ask(mux, http.MethodGet, p, nil)
		h := w.Header()
		if w.Code != http.StatusOK || h.Get("Content-Security-Policy") != policy || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Content-Type") == "" {
			t.Errorf("GET %s: %d %v", p, w.Code, h)
		}
		if w := ask(mux, http.MethodPost, p, nil); w.Code != http.StatusMethodNotAllowed || w.Header().Get("Allow") != "GET, HEAD" {
			t.Errorf("POST %s: %d", p, w.Code)
		}
		if tag := h.Get("ETag"); tag != "" {
			if w := ask(mux, http.MethodGet, p, http.Header{"If-None-Match": {tag}}); w.Code != http.StatusNotModified || w.Body.Len() != 0 {
				t.Errorf("GET %s again: %d", p, w.Code)
			}
		}
	}
	if w := ask(mux, http.MethodGet, "/page/other.js", nil); w.Code != http.StatusNotFound {
		t.Errorf("a file that does not exist: %d", w.Code)
	}
	for _, part := range []string{"default-src 'none'", "script-src 'self'", "connect-src 'self'", "frame-ancestors 'none'"} {
		if !strings.Contains(policy, part) {
			t.Errorf("the policy lacks %s", part)
		}
	}
	if strings.Contains(policy, "unsafe") {
		t.Error("the policy has an unsafe source")
	}
}

// No file names another host, runs text as code, or has a script or a style within a
// page, which the policy would block.
func TestFilesAreSelfContained(t *testing.T) {
	foreign := regexp.MustCompile(`https?://[^"'\s)]+`)
	err := fs.WalkDir(web, "web", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(web, name)
		for _, url := range foreign.FindAllString(string(raw), -1) {
			// Names, not places: SVG's, and where the YAML reader's licence says it is from.
			if url != "http://www.w3.org/2000/svg" && (name != "web/yaml/yaml.js" || url != "https://github.com/nodeca/js-yaml") {
				t.Errorf("%s names %s", name, url)
			}
		}
		for _, never := range []string{"innerHTML", "eval(", "new Function", "document.write", "document.cookie", " style=\"", "<style", "onclick=\""} {
			if strings.Contains(string(raw), never) {
				t.Errorf("%s has %s", name, never)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// Every file that is imported or linked is there.
func TestLinksLeadSomewhere(t *testing.T) {
	link := regexp.MustCompile(`(?:from '(\.\.?/)|href="/page/|src="/page/)([^'"]+)`)
	n, mux := 0, house(t, nil)
	_ = fs.WalkDir(web, "web", func(name string, d fs.DirEntry, _ error) error {
		if d.IsDir() {
			return nil
		}
		raw, _ := fs.ReadFile(web, name)
		for _, m := range link.FindAllStringSubmatch(string(raw), -1) {
			n++
			to := m[2]
			if m[1] != "" { // from where the module stands
				to = path.Join(path.Dir(strings.TrimPrefix(name, "web/")), m[1], m[2])
			}
			if w := ask(mux, http.MethodGet, "/page/"+to, nil); w.Code != http.StatusOK {
				t.Errorf("%s leads to %s: %d", name, to, w.Code)
			}
		}
		return nil
	})
	if n < 20 {
		t.Errorf("%d links found, want at least 20", n)
	}
}

func TestMill(t *testing.T) {
	w := ask(house(t, nil), http.MethodGet, "/page/mill.json", nil)
	var mill struct {
		Saws, Boards []json.RawMessage
		Order        json.RawMessage
	}
	if err := json.Unmarshal(w.Body.Bytes(), &mill); err != nil {
		t.Fatal(err)
	}
	if len(mill.Saws) != 3 || len(mill.Boards) != 200 {
		t.Errorf("%d saws, %d boards", len(mill.Saws), len(mill.Boards))
	}
	if err := protojson.Unmarshal(mill.Boards[199], &ripwrightv1.Board{}); err != nil {
		t.Error(err)
	}
	if err := protojson.Unmarshal(mill.Order, &ripwrightv1.CutOrder{}); err != nil {
		t.Error(err)
	}
}

// The named saws are a mill's own affair: with tokens they need one.
func TestSawsNeedAToken(t *testing.T) {
	if w := ask(house(t, nil), http.MethodGet, "/page/saws.json", nil); !strings.Contains(w.Body.String(), `"teal"`) {
		t.Errorf("without tokens: %s", w.Body)
	}
	file := filepath.Join(t.TempDir(), "tokens.yaml")
	const line, read = "line-0123456789abcdefgh", "read-0123456789abcdefgh"
	if err := os.WriteFile(file, []byte("- {name: a, token: "+line+", scopes: [line]}\n- {name: b, token: "+read+", scopes: [read]}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	tokens, err := secure.LoadTokens(file)
	if err != nil {
		t.Fatal(err)
	}
	mux := house(t, tokens)
	for token, code := range map[string]int{"": http.StatusUnauthorized, "Bearer wrong": http.StatusUnauthorized, "Bearer " + read: http.StatusForbidden, "Bearer " + line: http.StatusOK} {
		w := ask(mux, http.MethodGet, "/page/saws.json", http.Header{"Authorization": {token}})
		if w.Code != code || (w.Code == http.StatusOK) != strings.Contains(w.Body.String(), "teal") {
			t.Errorf("%q: %d %s", token, w.Code, w.Body)
		}
	}
	var about struct{ Tokens bool }
	if err := json.Unmarshal(ask(mux, http.MethodGet, "/page/about.json", nil).Body.Bytes(), &about); err != nil || !about.Tokens {
		t.Errorf("the page does not learn that tokens are needed: %v", err)
	}
}

// Every word of an enum that the page sends or waits for is one of the schema's.
func TestWords(t *testing.T) {
	words := map[string]bool{}
	protoregistry.GlobalTypes.RangeEnums(func(e protoreflect.EnumType) bool {
		values := e.Descriptor().Values()
		for i := range values.Len() {
			words[string(values.Get(i).Name())] = true
		}
		return true
	})
	files, err := fs.Glob(web, "web/*.js")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, file := range files {
		text, err := fs.ReadFile(web, file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`'([A-Z][A-Z0-9]*(?:_[A-Z0-9]+)+)'`).FindAllSubmatch(text, -1) {
			found++
			if !words[string(m[1])] {
				t.Errorf("%s: %s is not a word of the schema", file, m[1])
			}
		}
	}
	if found < 10 {
		t.Errorf("only %d words found; the pattern misses some", found)
	}
}

// In a bright room the page's tints are those of the service's pictures.
func TestTintsAreThoseOfPictures(t *testing.T) {
	raw, err := fs.ReadFile(web, "web/colours.css")
	if err != nil {
		t.Fatal(err)
	}
	bright, _, _ := strings.Cut(string(raw), "data-theme")
	for i, want := range marks.Tints() {
		if !strings.Contains(bright, fmt.Sprintf("--t%d: %s;", i, want)) {
			t.Errorf("tint %d of the page is not %s", i, want)
		}
	}
}
