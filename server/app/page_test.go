package app

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"

	"github.com/ripwright/ripwright/server/service"
)

// The page is served if it is wanted, along with the calls, and otherwise not at all.
func TestPageCanBeTurnedOff(t *testing.T) {
	for _, on := range []bool{true, false} {
		a, err := New(Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second, Page: on,
			Service: service.Config{Solves: 1, Waiting: 4, Longest: 10 * time.Second}}, zap.NewNop())
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- a.Run(ctx) }()
		for path, shown := range map[string]string{"/": "<!doctype html>", "/page/saws.json": "heron", "/page/main.js": "import"} {
			code, says := get(t, a, path)
			if on && (code != http.StatusOK || !strings.Contains(says, shown)) || !on && code != http.StatusNotFound {
				t.Errorf("page %t, %s: %d %.80s", on, path, code, says)
			}
		}
		if code, says := post(t, a, "/v1/boards:solve", good); code != http.StatusOK {
			t.Errorf("page %t: %d %s", on, code, says)
		}
		if code, _ := get(t, a, "/v1/nothing"); code != http.StatusNotFound {
			t.Errorf("page %t: a path that does not exist: %d", on, code)
		}
		http.DefaultClient.CloseIdleConnections()
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}
}
