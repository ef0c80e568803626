package site

import (
	"net/http"
	"testing"
)

func TestOf(t *testing.T) {
	n := Names{Own: Split("Rip.Plant.example, proxy.example:8443"), Certified: func(name string) bool { return name == "hall2.example" }}
	for _, c := range []struct {
		method, host, path string
		header             map[string]string
		want               Why
	}{
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", nil, Welcome},
		{"POST", "[::1]:7421", "/v1/boards:solve", nil, Welcome},
		{"POST", "[fe80::1%25eth0]:7421", "/v1/boards:solve", nil, Welcome},
		{"POST", "localhost:7421", "/v1/boards:solve", nil, Welcome},
		{"POST", "LOCALHOST.:7421", "/v1/boards:solve", nil, Welcome},
		{"POST", "", "/v1/boards:solve", nil, Welcome},
		{"POST", "rip.plant.example", "/v1/boards:solve", nil, Welcome},
		{"POST", "RIP.plant.example:80", "/v1/boards:solve", nil, Welcome},
		{"POST", "proxy.example:8443", "/v1/boards:solve", nil, Welcome},
		{"POST", "proxy.example:80", "/v1/boards:solve", nil, UnknownHost},
		{"POST", "hall2.example:7421", "/v1/boards:solve", nil, Welcome},
		{"POST", "evil.example:7421", "/v1/boards:solve", nil, UnknownHost},
		{"GET", "evil.example:7421", "/metrics", nil, UnknownHost},
		{"GET", "127.0.0.1.evil.example", "/", nil, UnknownHost},
		{"GET", "localhost.evil.example", "/", nil, UnknownHost},
		{"GET", "notlocalhost", "/", nil, UnknownHost},

		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Origin": "http://127.0.0.1:7421", "Sec-Fetch-Site": "same-origin"}, Welcome},
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Origin": "http://evil.example"}, OtherSite},
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Origin": "null"}, OtherSite},
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Origin": ""}, OtherSite},
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Origin": "http://127.0.0.1:3000", "Sec-Fetch-Site": "same-site"}, OtherSite},
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Origin": "http://127.0.0.1:3000"}, OtherSite},
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Origin": "https://rip.plant.example", "Sec-Fetch-Site": "same-origin"}, Welcome},
		{"POST", "127.0.0.1:7421", "/v1/boards:solve", map[string]string{"Sec-Fetch-Site": "cross-site"}, OtherSite},
		{"GET", "127.0.0.1:7421", "/v1/saws", map[string]string{"Sec-Fetch-Site": "cross-site"}, OtherSite},
		{"GET", "127.0.0.1:7421", "/v1/saws", map[string]string{"Sec-Fetch-Site": "none", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, Welcome},
		{"GET", "127.0.0.1:7421", "/metrics", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"}, OtherSite},
		{"GET", "127.0.0.1:7421", "/", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, Welcome},
		{"GET", "127.0.0.1:7421", "/", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, OtherSite},
		{"GET", "127.0.0.1:7421", "/v1/saws", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, OtherSite},
	} {
		r, err := http.NewRequest(c.method, c.path, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Host = c.host
		for k, v := range c.header {
			r.Header.Set(k, v)
		}
		if got := n.Of(r); got != c.want {
			t.Errorf("%s %s at %q with %v: %d, want %d", c.method, c.path, c.host, c.header, got, c.want)
		}
	}
}

func TestValid(t *testing.T) {
	for list, want := range map[string]bool{"": true, "a.example": true, "a.example, b.example:80": true, "http://a.example": false,
		"*.example": false, "a.example/x": false, "a b": false, "u@a": false, ":80": false, "a.example:x": false} {
		if Valid(list) != want {
			t.Errorf("%q: want %v", list, want)
		}
	}
}
