package health_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"

	"github.com/ripwright/ripwright/server/health"
)

// A service that drains is alive but not ready.
func ExampleRegister() {
	ready := true
	mux := http.NewServeMux()
	health.Register(mux, func() bool { return ready })
	ask := func(path string) int {
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		return w.Code
	}
	fmt.Println(ask("/livez"), ask("/readyz"))
	ready = false
	fmt.Println(ask("/livez"), ask("/readyz"))
	// Output:
	// 200 200
	// 200 503
}
