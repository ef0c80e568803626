package trial

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"go.uber.org/zap"
)

// quiet checks that the log records that calls were made, and no word or number of a
// request.
func quiet(t *testing.T, h *house) {
	t.Helper()
	calls := 0
	for _, e := range h.log.All() {
		text := e.Message + " " + fmt.Sprint(e.ContextMap())
		if strings.Contains(text, secret) {
			t.Errorf("a request is logged: %s", text)
		}
		if e.Message != "call" {
			continue
		}
		calls++
		keys := slices.DeleteFunc(keysOf(e.Context), func(k string) bool { return k == "caller" }) // who called, if known
		if !slices.Equal(keys, []string{"code", "method", "took"}) {
			t.Errorf("a call is logged with %v", keys)
		}
	}
	if calls == 0 {
		t.Error("no call is logged")
	}
}

func keysOf(fields []zap.Field) (keys []string) {
	for _, f := range fields {
		keys = append(keys, f.Key)
	}
	slices.Sort(keys)
	return keys
}
