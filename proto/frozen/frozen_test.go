package frozen

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"github.com/ripwright/ripwright/proto"
	"github.com/ripwright/ripwright/proto/limits"
)

var update = flag.Bool("update", false, "freeze the present schema as what is promised")

// Nothing promised is withdrawn, and a request needs no more fields than before.
func TestOpenAPIKeepsItsWord(t *testing.T) {
	const file = "openapi.yaml"
	if *update {
		if err := os.WriteFile(file, proto.OpenAPI, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range changed(parsed(t, raw), parsed(t, proto.OpenAPI)) {
		t.Error(c)
	}
}

// The guard finds what it is to find: a guard that never fails guards nothing.
func TestOpenAPIGuardSees(t *testing.T) {
	text, err := yaml.YAMLToJSON(proto.OpenAPI) // once: it takes long
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string]struct {
		path []string
		set  any // nil: taken away
		want string
	}{
		"a path gone":       {[]string{"paths", "/v1/boards:solve"}, nil, "/v1/boards:solve"},
		"another method":    {[]string{"paths", "/v1/saws", "get"}, nil, "get"},
		"a field gone":      {[]string{"components", "schemas", "Board", "properties", "pack_id"}, nil, "pack_id"},
		"another type":      {[]string{"components", "schemas", "Board", "properties", "pack_id", "type"}, "integer", "pack_id.type"},
		"a narrower limit":  {[]string{"components", "schemas", "Board", "properties", "length_mm", "maximum"}, 1.0, "maximum"},
		"a word gone":       {[]string{"components", "schemas", "ValuePer", "enum"}, []any{"VALUE_PER_AREA"}, "VALUE_PER_STRIP"},
		"a field needed":    {[]string{"components", "schemas", "Board", "required"}, []any{"board_id"}, "board_id"},
		"an answer without": {[]string{"components", "schemas", "SolveBoardResponse", "required"}, []any{}, "board_id"},
	} {
		now := read(t, text)
		at := now
		for _, key := range c.path[:len(c.path)-1] {
			at = at[key].(map[string]any)
		}
		last := c.path[len(c.path)-1]
		if at[last] = c.set; c.set == nil {
			delete(at, last)
		}
		all := changed(read(t, text), now)
		if !slices.ContainsFunc(all, func(s string) bool { return strings.Contains(s, c.want) }) {
			t.Errorf("%s: %q", what, all)
		}
	}
}

func parsed(t *testing.T, raw []byte) map[string]any {
	t.Helper()
	text, err := yaml.YAMLToJSON(raw)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, text)
}

func read(t *testing.T, text []byte) map[string]any {
	t.Helper()
	var doc map[string]any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

// changed lists what a description no longer promises.
func changed(before, now map[string]any) (all []string) {
	all = append(all, less("paths", before["paths"], now["paths"], false)...)
	was, is := schemas(before), schemas(now)
	for _, name := range slices.Sorted(maps.Keys(was)) {
		// Only the schemas of requests refuse unknown fields.
		old, _ := was[name].(map[string]any)
		all = append(all, less(name, was[name], is[name], old["additionalProperties"] == false)...)
	}
	return all
}

func schemas(doc map[string]any) map[string]any {
	parts, _ := doc["components"].(map[string]any)
	all, _ := parts["schemas"].(map[string]any)
	return all
}

// words are the keys of a description that hold text for people.
var words = []string{"description", "summary", "title", "tags"}

// less compares two nodes of a description. asked: they belong to a request.
func less(path string, before, now any, asked bool) (all []string) {
	switch was := before.(type) {
	case map[string]any:
		is, ok := now.(map[string]any)
		if !ok {
			return []string{path + ": is gone or has another kind"}
		}
		for _, key := range slices.Sorted(maps.Keys(was)) {
			if _, text := was[key].(string); text && slices.Contains(words, key) || key == "tags" {
				continue
			}
			at := path + "." + key
			switch key {
			case "required":
				all = append(all, needed(at, list(was[key]), list(is[key]), asked)...)
			case "maximum", "maxLength", "maxItems", "minimum", "exclusiveMinimum", "minLength", "minItems":
				all = append(all, narrower(at, key, was[key], is[key])...)
			default:
				all = append(all, less(at, was[key], is[key], asked)...)
			}
		}
		if _, had := was["required"]; !had && is["required"] != nil {
			all = append(all, needed(path+".required", nil, list(is["required"]), asked)...)
		}
	case []any:
		is, _ := now.([]any)
		for i, v := range was {
			if text, ok := v.(string); ok {
				if !slices.Contains(is, v) {
					all = append(all, fmt.Sprintf("%s: %s is gone", path, text))
				}
			} else if i < len(is) {
				all = append(all, less(fmt.Sprintf("%s[%d]", path, i), v, is[i], asked)...)
			} else {
				all = append(all, fmt.Sprintf("%s[%d]: is gone", path, i))
			}
		}
	default:
		if before != now {
			all = append(all, fmt.Sprintf("%s: was %v and is %v", path, before, now))
		}
	}
	return all
}

// needed: a request must not need more fields; an answer must keep those it always had.
func needed(path string, was, is []any, asked bool) (all []string) {
	if asked {
		was, is = is, was
	}
	for _, field := range was {
		if !slices.Contains(is, field) {
			all = append(all, fmt.Sprintf("%s: %v", path, field))
		}
	}
	return all
}

func narrower(path, key string, was, is any) []string {
	a, _ := was.(float64)
	b, ok := is.(float64)
	if !ok || strings.HasPrefix(key, "max") && b >= a || !strings.HasPrefix(key, "max") && b <= a {
		return nil
	}
	return []string{fmt.Sprintf("%s: was %g and is %g", path, a, b)}
}

func list(v any) []any {
	l, _ := v.([]any)
	return l
}

// Limits may become wider, never narrower.
func TestLimitsKeepTheirWord(t *testing.T) {
	const file = "limits.json"
	if *update {
		text, err := json.MarshalIndent(limits.All, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, append(text, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var all []limits.Limit
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	if len(all) < 100 {
		t.Fatalf("%d limits", len(all))
	}
	for _, was := range all {
		i := slices.IndexFunc(limits.All, func(l limits.Limit) bool {
			return l.Message == was.Message && l.Field == was.Field && l.Counts == was.Counts
		})
		if i < 0 {
			t.Errorf("%s.%s: has no limit of %s any more; it took %s", was.Message, was.Field, was.Counts, was.Range)
			continue
		}
		is := limits.All[i].Range
		if is.Least > was.Range.Least || is.Most < was.Range.Most || is.Above && !was.Range.Above || is.Whole && !was.Range.Whole {
			t.Errorf("%s.%s: took %s and takes %s", was.Message, was.Field, was.Range, is)
		}
	}
}
