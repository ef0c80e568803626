package page_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/page"
)

// The page on the caller's own mux, with one saw to choose.
func ExampleRegister() {
	mux := http.NewServeMux()
	err := page.Register(mux, page.Config{GRPCPort: "7420", Saws: func() []*ripwrightv1.Saw { return []*ripwrightv1.Saw{{Name: "dunlin"}} }})
	if err != nil {
		fmt.Println(err)
		return
	}
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
	fmt.Println(w.Code, w.Header().Get("Content-Type"))
	// Output: 200 text/html; charset=utf-8
}
