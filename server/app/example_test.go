package app

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	yaml "github.com/goccy/go-yaml"

	"github.com/ripwright/ripwright/proto"
	"github.com/ripwright/ripwright/testdata/raced"
)

// Every call that takes a body has an example in the OpenAPI description, and the
// service as it comes takes it and answers as described.
func TestExamples(t *testing.T) {
	a, _, _ := start(t)
	raw, err := yaml.YAMLToJSON(proto.OpenAPI)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Paths map[string]map[string]struct {
			RequestBody *struct {
				Content map[string]struct{ Example json.RawMessage }
			}
		}
	}
	if err := json.Unmarshal(raw, &doc); err != nil {
		t.Fatal(err)
	}
	tried := 0
	for path, calls := range doc.Paths {
		call, ok := calls["post"]
		if !ok {
			continue
		}
		tried++
		if call.RequestBody == nil || len(call.RequestBody.Content["application/json"].Example) == 0 {
			t.Errorf("%s has no example", path)
			continue
		}
		if raced.On && strings.HasSuffix(path, ":watchQuote") {
			continue // the quote's own request; make verify tries it
		}
		body := call.RequestBody.Content["application/json"].Example
		code, says := post(t, a, path, string(body))
		if code != http.StatusOK {
			t.Errorf("%s: %d %s", path, code, says)
			continue
		}
		ask, answer := described(t, path)
		if err := ask.Validate(decoded(t, body)); err != nil {
			t.Errorf("%s: its example is not as described: %v", path, err)
		}
		if strings.HasSuffix(path, ":watchQuote") {
			continue // several messages, a line each
		}
		if err := answer[code].Validate(decoded(t, []byte(says))); err != nil {
			t.Errorf("%s is answered otherwise than described: %v", path, err)
		}
	}
	if tried < 10 {
		t.Errorf("%d calls", tried)
	}
}
