package site_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"

	"github.com/ripwright/ripwright/proto/site"
)

// A page of another site is refused, a program is not.
func ExampleGuard() {
	served := site.Guard(http.HandlerFunc(func(http.ResponseWriter, *http.Request) {}), site.Names{Own: []string{"saw.plant.example"}})
	for _, origin := range []string{"", "https://elsewhere.example"} {
		r := httptest.NewRequest(http.MethodGet, "http://saw.plant.example/", nil)
		if origin != "" {
			r.Header.Set("Origin", origin)
		}
		w := httptest.NewRecorder()
		served.ServeHTTP(w, r)
		fmt.Println(w.Code)
	}
	// Output:
	// 200
	// 403
}
