package front

import (
	"mime"
	"net/http"
	"strings"
)

// jsonSent reports whether a body is declared as JSON in UTF-8. A page of any other site
// can have a browser send a body without a type, a form or text, unasked and unseen, but
// not one declared as JSON.
func jsonSent(r *http.Request) bool {
	sent := r.Header.Values("Content-Type")
	if len(sent) != 1 {
		return false
	}
	kind, params, err := mime.ParseMediaType(sent[0])
	if err != nil {
		return false
	}
	if set := params["charset"]; set != "" && !strings.EqualFold(set, "utf-8") {
		return false
	}
	return kind == "application/json"
}
