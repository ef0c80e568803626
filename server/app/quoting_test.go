package app

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"github.com/ripwright/ripwright/proto"
	"github.com/ripwright/ripwright/testdata/brief"
)

const quotingGuide = "../../clients/quoting.md"

// A request as a file, the call that sends it, and the part of its answer that the guide
// shows.
var example = regexp.MustCompile("(?s)`(\\w+\\.json)`[^\n]*\n\n```json\n(.*?)```\n\n```sh\ncurl -s localhost:7421(/v1/\\S+) -H 'Content-Type: application/json' -d @(\\w+\\.json)\n```\n[^`]*?```json\n(.*?)```")

var unlimited = regexp.MustCompile(`("time_limit_ms":) ?\d+`)

// The examples of the guide to quoting get the answers that it shows, and both match the
// OpenAPI description. Run with -update to rewrite what is shown.
func TestQuotingGuide(t *testing.T) {
	brief.Skip(t)
	text, err := os.ReadFile(quotingGuide)
	if err != nil {
		t.Fatal(err)
	}
	examples := example.FindAllSubmatch(text, -1)
	if n := bytes.Count(text, []byte("\ncurl ")); len(examples) != n || n < 7 {
		t.Fatalf("%d examples have an answer, of %d", len(examples), n)
	}
	a, _, _ := start(t)
	called := map[string]bool{}
	for _, e := range examples {
		name, request, path, shown := string(e[1]), e[2], string(e[3]), e[5]
		called[path] = true
		if string(e[4]) != name {
			t.Errorf("the call after %s sends %s", name, e[4])
		}
		// A slow machine would meet the limits that a caller should set, and the service's own.
		ample := unlimited.ReplaceAllString(string(request), `$1 3600000`)
		if ample == string(request) && (path == "/v1/orders:quote" || path == "/v1/arbors:plan") {
			ample = strings.Replace(ample, "{", `{"time_limit_ms": 3600000,`, 1)
		}
		code, says := post(t, a, path, ample)
		if code != http.StatusOK && path != "/v1/orders:quote" {
			t.Fatalf("%s: %d %s", name, code, says)
		}
		ask, answer := described(t, path)
		if err := answer[code].Validate(decoded(t, []byte(says))); err != nil {
			t.Errorf("the answer to %s differs from its description: %v", name, err)
		}
		if err := ask.Validate(decoded(t, request)); (err == nil) != (code == http.StatusOK) {
			t.Errorf("%s gets %d, and by the description it is: %v", name, code, err)
		}
		is := write(nil, prune(inOrder(t, shown), decoded(t, []byte(says))))
		if bytes.Equal(is, write(nil, inOrder(t, shown))) {
			continue
		}
		if !*update {
			t.Errorf("%s: the guide shows\n%s\nand the service says\n%s", name, shown, pretty(t, is))
		}
		text = bytes.Replace(text, shown, pretty(t, is), 1)
	}
	for _, path := range []string{"/v1/orders:quote", "/v1/orders:planValues", "/v1/arbors:plan", "/v1/orders:sequence", "/v1/packs:tally"} {
		if !called[path] {
			t.Errorf("the guide has no example of %s", path)
		}
	}
	if *update {
		if err := os.WriteFile(quotingGuide, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// Every file that the guide names exists.
func TestQuotingGuideLinks(t *testing.T) {
	text, err := os.ReadFile(quotingGuide)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range regexp.MustCompile(`\]\(([^)#]+)`).FindAllSubmatch(text, -1) {
		if _, err := os.Stat("../../clients/" + string(l[1])); err != nil {
			t.Errorf("%s: %v", l[1], err)
		}
	}
}

// description is the OpenAPI description, and a compiler of its schemas.
type description struct {
	doc any
	*jsonschema.Compiler
}

// readDescription takes a second under the race detector.
var readDescription = sync.OnceValues(func() (d description, err error) {
	raw, err := yaml.YAMLToJSON(proto.OpenAPI)
	if err != nil {
		return d, err
	}
	if d.doc, err = jsonschema.UnmarshalJSON(bytes.NewReader(raw)); err != nil {
		return d, err
	}
	d.Compiler = jsonschema.NewCompiler()
	return d, d.AddResource("urn:openapi", d.doc)
})

// described gives the schemas of a call's request and, by HTTP status, of its answers.
func described(t *testing.T, path string) (ask *jsonschema.Schema, answer map[int]*jsonschema.Schema) {
	t.Helper()
	d, err := readDescription()
	if err != nil {
		t.Fatal(err)
	}
	call := d.doc.(map[string]any)["paths"].(map[string]any)[path].(map[string]any)["post"].(map[string]any)
	named := func(name string) *jsonschema.Schema {
		s, err := d.Compile("urn:openapi#/components/schemas/" + name)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	name := call["operationId"].(string)
	failed := named("Error")
	return named(name + "Request"), map[int]*jsonschema.Schema{http.StatusOK: named(name + "Response"),
		http.StatusBadRequest: failed, http.StatusNotFound: failed, http.StatusTooManyRequests: failed}
}

func decoded(t *testing.T, raw []byte) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// member is a member of a JSON object that keeps its members in order.
type member struct {
	key   string
	value any
}

// inOrder reads JSON, objects as []member.
func inOrder(t *testing.T, raw []byte) any {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var next func() any
	token := func() json.Token {
		v, err := d.Token()
		if err != nil {
			t.Fatalf("%v in\n%s", err, raw)
		}
		return v
	}
	next = func() any {
		v := token()
		switch v {
		case json.Delim('{'):
			all := []member{}
			for d.More() {
				key := token().(string)
				all = append(all, member{key, next()})
			}
			token()
			return all
		case json.Delim('['):
			all := []any{}
			for d.More() {
				all = append(all, next())
			}
			token()
			return all
		}
		return v
	}
	return next()
}

// prune reduces an answer to what is shown: the named members, in their order, and lists
// whole.
func prune(shown, is any) any {
	switch shown := shown.(type) {
	case []member:
		from, _ := is.(map[string]any)
		var out []member
		for _, m := range shown {
			if v, ok := from[m.key]; ok {
				out = append(out, member{m.key, prune(m.value, v)})
			}
		}
		return out
	case []any:
		from, _ := is.([]any)
		out := make([]any, len(from))
		for i := range from {
			out[i] = from[i]
			if len(shown) > 0 {
				out[i] = prune(shown[min(i, len(shown)-1)], from[i])
			}
		}
		return out
	}
	return is
}

// write appends a value as JSON.
func write(b []byte, v any) []byte {
	switch v := v.(type) {
	case []member:
		for i, m := range v {
			b = append(b, "{,"[min(i, 1)])
			b = append(write(b, m.key), ':')
			b = write(b, m.value)
		}
		if len(v) == 0 {
			b = append(b, '{')
		}
		return append(b, '}')
	case []any:
		b = append(b, '[')
		for i, part := range v {
			if i > 0 {
				b = append(b, ',')
			}
			b = write(b, part)
		}
		return append(b, ']')
	}
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err) // it was read from JSON
	}
	return append(b, raw...)
}
