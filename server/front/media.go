package front

import (
	"mime"
	"net/http"
	"strings"
)

// jsonSent reports whether a body is said to be JSON in UTF-8. What says nothing, or
// that it is a form or text, is what a page of any other site can have a browser
// send, unasked and unseen; what says that it is JSON it cannot.
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
