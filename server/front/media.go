package front

import (
	"mime"
	"net/http"
	"strings"
)

// jsonSent reports whether a body is said to be JSON in UTF-8, or not said to be
// anything. That it is a form is what command-line tools say of any body that
// they are given, so it counts as saying nothing.
func jsonSent(r *http.Request) bool {
	sent := r.Header.Values("Content-Type")
	if len(sent) == 0 {
		return true
	}
	kind, params, err := mime.ParseMediaType(sent[0])
	if err != nil || len(sent) > 1 {
		return false
	}
	if set := params["charset"]; set != "" && !strings.EqualFold(set, "utf-8") {
		return false
	}
	return kind == "application/json" || kind == "application/x-www-form-urlencoded"
}
