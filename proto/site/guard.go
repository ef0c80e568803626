package site

import "net/http"

// Guard answers only requests that may be answered, and refuses others in plain text. It
// is for servers that serve only pages.
func Guard(next http.Handler, n Names) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch n.Of(r) {
		case UnknownHost:
			http.Error(w, "this host name is unknown; add it to the setting hosts", http.StatusMisdirectedRequest)
		case OtherSite:
			http.Error(w, "this program does not answer pages of other sites", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}
