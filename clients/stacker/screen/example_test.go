package screen_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"time"

	"github.com/ripwright/ripwright/clients/stacker/screen"
)

// The screen is served to a browser and updated by events.
func ExampleScreen_Handler() {
	s := screen.New(screen.Config{Stale: 20 * time.Second, Now: time.Now})
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
	fmt.Println(w.Code, w.Header().Get("Content-Type"))
	// Output: 200 text/html; charset=utf-8
}
