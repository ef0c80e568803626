package trial

import (
	"bufio"
	"io"
	"net"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
)

func TestWrongMethodsAndPaths(t *testing.T) {
	h := open(t)
	for _, c := range []struct {
		method, path string
		code         int
		allow        string
	}{
		{http.MethodGet, solvePath, http.StatusMethodNotAllowed, "POST"},
		{http.MethodPut, checkPath, http.StatusMethodNotAllowed, "POST"},
		{http.MethodDelete, solvePath, http.StatusMethodNotAllowed, "POST"},
		{http.MethodPost, "/metrics", http.StatusMethodNotAllowed, "GET, HEAD"},
		{http.MethodPost, "/livez", http.StatusMethodNotAllowed, "GET, HEAD"},
		{http.MethodDelete, "/readyz", http.StatusMethodNotAllowed, "GET, HEAD"},
		{http.MethodPut, "/openapi.yaml", http.StatusMethodNotAllowed, "GET, HEAD"},
		{http.MethodPost, "/v1/boards:weigh", http.StatusNotFound, ""},
		{http.MethodPost, "/v1/boards", http.StatusNotFound, ""},
		{http.MethodPost, "/v1/boards:solve/", http.StatusNotFound, ""},
		{http.MethodGet, "/", http.StatusNotFound, ""},
		{http.MethodGet, "/metrics/zq7", http.StatusNotFound, ""},
	} {
		r := h.send(t, c.method, c.path, http.Header{"Content-Type": {"application/json"}}, strings.NewReader("{}"))
		if r.code != c.code || r.header.Get("Allow") != c.allow || r.body == "" {
			t.Errorf("%s %s: %d, Allow %q, %q; want %d, Allow %q", c.method, c.path, r.code, r.header.Get("Allow"), r.body, c.code, c.allow)
		}
		if c.code == http.StatusNotFound && !strings.Contains(refusal(t, r).says(), "/openapi.yaml") {
			t.Errorf("%s %s does not name the page that lists the calls: %s", c.method, c.path, r.body)
		}
	}
}

func TestMediaTypes(t *testing.T) {
	h := open(t)
	body := `{` + base + `, "options": {"work_limit": 20000}}`
	for sent, code := range map[string]int{
		"application/json":                  http.StatusOK,
		"application/json; charset=utf-8":   http.StatusOK,
		"Application/JSON; Charset=UTF-8":   http.StatusOK,
		"":                                  http.StatusUnsupportedMediaType,
		"application/x-www-form-urlencoded": http.StatusUnsupportedMediaType, // what pages of other sites may send
		"application/json; charset=utf-16":  http.StatusUnsupportedMediaType,
		"text/plain":                        http.StatusUnsupportedMediaType,
		"application/xml":                   http.StatusUnsupportedMediaType,
		"application/x-protobuf":            http.StatusUnsupportedMediaType,
		"multipart/form-data; boundary=x":   http.StatusUnsupportedMediaType,
		"nonsense/;":                        http.StatusUnsupportedMediaType,
	} {
		header := http.Header{}
		if sent != "" {
			header.Set("Content-Type", sent)
		}
		r := h.send(t, http.MethodPost, solvePath, header, strings.NewReader(body))
		if r.code != code {
			t.Errorf("%q: %d %.200s, want %d", sent, r.code, r.body, code)
		}
		if code == http.StatusOK {
			continue
		}
		if v := refusal(t, r); !slices.Equal(v.fields(), []string{"content-type"}) || !strings.Contains(v.says(), "application/json") {
			t.Errorf("%q: %s", sent, v)
		}
	}
}

// A body that is too large is refused over both transports, at the limit that the
// reference states. gRPC uses its own code for it.
func TestHugeBody(t *testing.T) {
	h := open(t)
	r := h.post(t, solvePath, `{"board": {"board_id": "`+strings.Repeat("x", 5<<20)+`"}}`)
	v := refusal(t, r)
	if r.code != http.StatusRequestEntityTooLarge || v.status.Code() != codes.InvalidArgument || !slices.Equal(v.fields(), []string{"body"}) {
		t.Fatalf("%d %.300s", r.code, v)
	}
	most := regexp.MustCompile(`at most (\d+) bytes`).FindStringSubmatch(v.says())
	reference, err := os.ReadFile("../../proto/REFERENCE.md")
	if err != nil {
		t.Fatal(err)
	}
	if most == nil || !strings.Contains(string(reference), "at most "+most[1]+" bytes") {
		t.Errorf("the reference does not state the limit: %s", v)
	}
	m := goodSolve(t)
	m.Board.BoardId = strings.Repeat("x", 5<<20)
	if v := h.grpc(t, m); v.status.Code() != codes.ResourceExhausted || !strings.Contains(v.says(), most[1]) {
		t.Errorf("gRPC: %s", v)
	}
}

// A body that ends before its announced length is reported as cut off.
func TestCutOffConnection(t *testing.T) {
	h := open(t)
	conn, err := net.Dial("tcp", strings.TrimPrefix(h.url, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	_, err = io.WriteString(conn, "POST "+solvePath+" HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{\"board\":")
	if err != nil {
		t.Fatal(err)
	}
	if err := conn.(*net.TCPConn).CloseWrite(); err != nil {
		t.Fatal(err)
	}
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(answer.Body)
	_ = answer.Body.Close()
	if err != nil {
		t.Fatal(err)
	}
	v := refusal(t, reply{answer.StatusCode, answer.Header, string(text)})
	if answer.StatusCode != http.StatusBadRequest || !slices.Equal(v.fields(), []string{"body"}) || !strings.Contains(v.says(), "ends before") {
		t.Errorf("%d %s", answer.StatusCode, v)
	}
}

// A malformed time limit in a header is refused, not ignored.
func TestWrongTimeout(t *testing.T) {
	h := open(t)
	r := h.send(t, http.MethodPost, solvePath, http.Header{"Content-Type": {"application/json"}, "Grpc-Timeout": {"soon"}}, strings.NewReader("{}"))
	if v := refusal(t, r); r.code != http.StatusBadRequest || v.status.Code() != codes.InvalidArgument || !strings.Contains(v.says(), "timeout") {
		t.Errorf("%d %s", r.code, v)
	}
}
