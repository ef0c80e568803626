package app

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"github.com/ripwright/ripwright/proto"
	"github.com/ripwright/ripwright/testdata/brief"
)

// answersOf holds the answers that the OpenAPI description shows.
const answersOf = "../../proto/document/answers"

// media gives the description's schema and example of a request's or an answer's JSON.
func media(t *testing.T, in any, path ...string) map[string]any {
	t.Helper()
	for _, key := range append(path, "content", "application/json") {
		in, _ = in.(map[string]any)[key]
		if in == nil {
			t.Fatalf("the description has no %s", key)
		}
	}
	return in.(map[string]any)
}

// Every call of the OpenAPI description has an example of its request, if it has a body,
// and of its answer. The service accepts the one and gives the other, and both match the
// description. Run with -update to write the answers, then run go run ./document in
// proto.
func TestExamples(t *testing.T) {
	raw, err := yaml.YAMLToJSON(proto.OpenAPI)
	if err != nil {
		t.Fatal(err)
	}
	doc := decoded(t, raw)
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:openapi", doc); err != nil {
		t.Fatal(err)
	}
	a, _, _ := start(t)
	paths := doc.(map[string]any)["paths"].(map[string]any)
	if len(paths) < 13 {
		t.Errorf("%d paths", len(paths))
	}
	for _, path := range slices.Sorted(maps.Keys(paths)) {
		for verb, of := range paths[path].(map[string]any) {
			name := of.(map[string]any)["operationId"].(string)
			t.Run(name, func(t *testing.T) {
				if name == "WatchQuote" {
					brief.Skip(t) // the request of the quote itself
				}
				code, says := 0, ""
				if verb == "get" {
					code, says = get(t, a, path)
				} else {
					ask := media(t, of, "requestBody")
					request, ok := ask["example"]
					if !ok {
						t.Fatal("the request has no example")
					}
					if err := compiled(t, c, path, verb, "requestBody").Validate(request); err != nil {
						t.Errorf("the request is not as described: %v", err)
					}
					body, err := json.Marshal(request)
					if err != nil {
						t.Fatal(err)
					}
					// A slow machine would meet the limits that a caller should set.
					code, says = post(t, a, path, unlimited.ReplaceAllString(string(body), `$1 3600000`))
				}
				if code != http.StatusOK {
					t.Fatalf("%d %s", code, says)
				}
				lines := strings.Split(strings.TrimSpace(says), "\n")
				last := lines[len(lines)-1] // the last of a stream, or the only answer
				schema := compiled(t, c, path, verb, "responses", "200")
				if err := schema.Validate(decoded(t, []byte(last))); err != nil {
					t.Errorf("the answer is not as described: %v", err)
				}
				is := abridged(inOrder(t, []byte(last)))
				if *update {
					var pretty bytes.Buffer
					if err := json.Indent(&pretty, write(nil, is), "", "  "); err != nil {
						t.Fatal(err)
					}
					pretty.WriteByte('\n')
					if err := os.WriteFile(filepath.Join(answersOf, name+".json"), pretty.Bytes(), 0o644); err != nil {
						t.Fatal(err)
					}
					return
				}
				shown, ok := media(t, of, "responses", "200")["example"]
				if !ok {
					t.Fatal("the answer has no example")
				}
				if err := schema.Validate(shown); err != nil {
					t.Errorf("the answer shown is not as described: %v", err)
				}
				if got := decoded(t, write(nil, is)); !same(shown, got) {
					t.Errorf("the description shows\n%s\nand the service says\n%s", write(nil, shown), last)
				}
			})
		}
	}
}

func compiled(t *testing.T, c *jsonschema.Compiler, path, verb string, in ...string) *jsonschema.Schema {
	t.Helper()
	at := "urn:openapi#/paths/" + strings.ReplaceAll(path, "/", "~1") + "/" + verb
	s, err := c.Compile(at + "/" + strings.Join(in, "/") + "/content/application~1json/schema")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Numbers that differ on another machine or with another search only have to be present.
var unlike = []string{"solve_time_us", "work", "release"}

// longest bounds lists of similar entries, and the strings of a shown answer.
const (
	longestText = 200
	longestList = 2
)

var goOnAlike = []string{"limits", "features", "preview_calls"}

// abridged cuts an answer to what a reader needs to see.
func abridged(v any) any {
	switch v := v.(type) {
	case []member:
		for i, m := range v {
			list, ok := m.value.([]any)
			switch text, _ := m.value.(string); {
			case ok && slices.Contains(goOnAlike, m.key):
				v[i].value = list[:min(len(list), longestList)]
			case len(text) > longestText:
				v[i].value = text[:longestText] + "..."
			default:
				abridged(m.value)
			}
		}
	case []any:
		for _, part := range v {
			abridged(part)
		}
	}
	return v
}

// same compares answers, numbers to nine digits: sums of floating-point numbers differ
// between processors.
func same(a, b any) bool {
	switch a := a.(type) {
	case map[string]any:
		b, ok := b.(map[string]any)
		if !ok || len(a) != len(b) {
			return false
		}
		for key, v := range a {
			w, ok := b[key]
			if !ok || !slices.Contains(unlike, key) && !same(v, w) {
				return false
			}
		}
		return true
	case []any:
		b, ok := b.([]any)
		return ok && slices.EqualFunc(a, b, same)
	case json.Number:
		b, ok := b.(json.Number)
		v, _ := a.Float64()
		w, _ := b.Float64()
		return ok && math.Abs(v-w) <= 1e-9*max(1, math.Abs(v))
	}
	return a == b
}
