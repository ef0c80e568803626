package hostile

import (
	"bufio"
	"net/http"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	_ "google.golang.org/genproto/googleapis/rpc/errdetails" // types in a status
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"

	spb "google.golang.org/genproto/googleapis/rpc/status"
)

const small = `{"saw_name": "heron", "board": {"length_mm": 2000, "stations": [{"far_mm": 200}]}, "order": {"items": [{"item_id": "a", "width_mm": 60, "value": 1}]}}`

// Whatever a page of another site can make a browser send is refused, and so is a foreign
// name that resolves to this address. Every refusal says what would be right.
func TestOtherSites(t *testing.T) {
	r := serve(t, "--hosts", "rip.plant.example", "--health", "127.0.0.1:0", "--health-metrics")
	_, port, _ := strings.Cut(r.HTTP, ":")
	for _, c := range []struct {
		what, method, at, path, host string
		header                       map[string]string
		want                         int
		says                         string
	}{
		{"a program", "POST", r.HTTP, "/v1/boards:solve", "", map[string]string{"Content-Type": "application/json"}, 200, "proven"},
		{"a program by name", "POST", r.HTTP, "/v1/boards:solve", "rip.plant.example", map[string]string{"Content-Type": "application/json"}, 200, "proven"},
		{"the page", "POST", r.HTTP, "/v1/boards:solve", "", map[string]string{"Content-Type": "application/json", "Origin": "http://" + r.HTTP, "Sec-Fetch-Site": "same-origin"}, 200, "proven"},
		{"a form", "POST", r.HTTP, "/v1/boards:solve", "", map[string]string{"Content-Type": "application/x-www-form-urlencoded"}, 415, "Content-Type: application/json"},
		{"text", "POST", r.HTTP, "/v1/boards:solve", "", map[string]string{"Content-Type": "text/plain"}, 415, "Content-Type: application/json"},
		{"no content type", "POST", r.HTTP, "/v1/boards:solve", "", nil, 415, "Content-Type: application/json"},
		{"another site", "POST", r.HTTP, "/v1/boards:solve", "", map[string]string{"Content-Type": "application/json", "Origin": "http://evil.example"}, 403, "another site"},
		{"another port", "POST", r.HTTP, "/v1/boards:solve", "", map[string]string{"Content-Type": "application/json", "Origin": "http://127.0.0.1:1"}, 403, "another site"},
		{"a frame without an origin", "POST", r.HTTP, "/v1/boards:solve", "", map[string]string{"Content-Type": "application/json", "Origin": "null"}, 403, "another site"},
		{"a script's source", "GET", r.HTTP, "/v1/saws", "", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, 403, "another site"},
		{"a name that leads here", "POST", r.HTTP, "/v1/boards:solve", "evil.example:" + port, map[string]string{"Content-Type": "application/json", "Origin": "http://evil.example:" + port, "Sec-Fetch-Site": "same-origin"}, 421, "hosts"},
		{"that name, for metrics", "GET", r.HTTP, "/metrics", "evil.example", nil, 421, "hosts"},
		{"that name, for the page's saws", "GET", r.HTTP, "/page/saws.json", "evil.example", nil, 421, "hosts"},
		{"that name, for the other metrics", "GET", r.Health, "/metrics", "evil.example", nil, 421, "hosts"},
		{"a probe by any name", "GET", r.HTTP, "/livez", "pod-7", nil, 200, "alive"},
		{"a probe by any name apart", "GET", r.Health, "/readyz", "pod-7", nil, 200, "ready"},
	} {
		q, err := http.NewRequest(c.method, "http://"+c.at+c.path, strings.NewReader(small))
		if err != nil {
			t.Fatal(err)
		}
		if q.Host = c.host; c.method == "GET" {
			q.Body, q.ContentLength = nil, 0
		}
		for k, v := range c.header {
			q.Header.Set(k, v)
		}
		code, text, header := answered(t, q)
		if code != c.want || !strings.Contains(text, c.says) {
			t.Errorf("%s: %d %.300s, want %d with %q", c.what, code, text, c.want, c.says)
		}
		if header.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: other sites may read the answer", c.what)
		}
		var status spb.Status
		if c.want >= 400 && (protojson.Unmarshal([]byte(text), &status) != nil || status.GetCode() == int32(codes.OK) || len(status.GetDetails()) == 0) {
			t.Errorf("%s: the answer is not a status: %s", c.what, text)
		}
	}
}

// The stacker's screen keeps other sites out like the service: both its pages and its
// data.
func TestOtherSitesOfTheScreen(t *testing.T) {
	c := exec.Command(built(t, "./clients/stacker"), "--grpc", "127.0.0.1:0", "--http", "127.0.0.1:0", "--hosts", "outfeed.plant.example")
	says, err := c.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = c.Process.Kill()
		_ = c.Wait() // killed
	})
	line, err := bufio.NewReader(says).ReadString('\n')
	at := regexp.MustCompile(`http://(127[0-9.]+:[0-9]+)/`).FindStringSubmatch(line)
	if err != nil || at == nil {
		t.Fatal(line, err)
	}
	_, port, _ := strings.Cut(at[1], ":")
	for _, c := range []struct {
		what, path, host string
		header           map[string]string
		want             int
	}{
		{"a browser", "/", "", map[string]string{"Sec-Fetch-Site": "none", "Sec-Fetch-Mode": "navigate"}, 200},
		{"its own script", "/screen.js", "", map[string]string{"Sec-Fetch-Site": "same-origin"}, 200},
		{"a set name", "/", "outfeed.plant.example:" + port, nil, 200},
		{"a name that leads here", "/", "evil.example:" + port, nil, 421},
		{"that name, what is on it", "/events", "evil.example:" + port, map[string]string{"Sec-Fetch-Site": "same-origin"}, 421},
		{"another site's script", "/events", "", map[string]string{"Origin": "http://evil.example", "Sec-Fetch-Site": "cross-site"}, 403},
		{"another site's frame", "/", "", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, 403},
		{"a link of another site", "/", "", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200},
	} {
		q, err := http.NewRequest(http.MethodGet, "http://"+at[1]+c.path, nil)
		if err != nil {
			t.Fatal(err)
		}
		q.Host = c.host
		for k, v := range c.header {
			q.Header.Set(k, v)
		}
		if code, text, _ := answered(t, q); code != c.want {
			t.Errorf("%s: %d %.200s, want %d", c.what, code, text, c.want)
		}
	}
}
