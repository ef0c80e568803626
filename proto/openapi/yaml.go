package main

import (
	"bytes"
	"encoding/json"
	"log"
	"maps"
	"slices"
	"strings"
)

// first are the keys that readers look for at the top; all others follow in
// alphabetical order, so that the file changes only where the schema does.
var first = []string{"openapi", "info", "summary", "description", "operationId", "type", "paths"}

// yaml writes what encoding/json reads. Strings are written as JSON strings,
// which are YAML as well.
func yaml(v any) string {
	var b strings.Builder
	write(&b, v, 0)
	return b.String()
}

func write(b *strings.Builder, v any, depth int) {
	indent := strings.Repeat("  ", depth)
	switch v := v.(type) {
	case map[string]any:
		for _, k := range keys(v) {
			b.WriteString(indent + scalar(k) + ":")
			value(b, v[k], depth+1)
		}
	case []any:
		for _, part := range v {
			b.WriteString(indent + "-")
			value(b, part, depth+1)
		}
	}
}

// value writes what stands behind a key or a dash.
func value(b *strings.Builder, v any, depth int) {
	switch part := v.(type) {
	case map[string]any:
		if len(part) > 0 {
			b.WriteString("\n")
			write(b, v, depth)
			return
		}
	case []any:
		if len(part) > 0 {
			b.WriteString("\n")
			write(b, v, depth)
			return
		}
	}
	b.WriteString(" " + scalar(v) + "\n")
}

func keys(m map[string]any) []string {
	rank := func(k string) int {
		if i := slices.Index(first, k); i >= 0 {
			return i
		}
		return len(first)
	}
	return slices.SortedFunc(maps.Keys(m), func(a, b string) int {
		if d := rank(a) - rank(b); d != 0 {
			return d
		}
		return strings.Compare(a, b)
	})
}

func scalar(v any) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		log.Fatal(err) // it was read from JSON
	}
	return strings.TrimSpace(b.String())
}
