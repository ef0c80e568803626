package site

import "net/http"

// Guard answers only what may be answered, in plain words otherwise: for pages that
// are nothing but pages.
func Guard(next http.Handler, n Names) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch n.Of(r) {
		case UnknownHost:
			http.Error(w, "this is called by a name that is not known here; it has to be set as one of its hosts", http.StatusMisdirectedRequest)
		case OtherSite:
			http.Error(w, "pages of other sites get nothing from here", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}
