package drawn

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/oracle"
)

// JSON writes a problem so that ReadJSON reads it: lengths in nanometres, zero values
// left out.
func JSON(p *oracle.Problem) string {
	text, err := json.Marshal(p)
	if err != nil {
		panic(err)
	}
	var v any
	d := json.NewDecoder(strings.NewReader(string(text)))
	d.UseNumber()
	if err := d.Decode(&v); err != nil {
		panic(err)
	}
	text, err = json.Marshal(without(v))
	if err != nil {
		panic(err)
	}
	return string(text)
}

// without removes zero values, at every depth.
func without(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			if x = without(x); x == nil {
				delete(v, k)
			} else {
				v[k] = x
			}
		}
		if len(v) == 0 {
			return nil
		}
	case []any:
		for i := range v {
			if v[i] = without(v[i]); v[i] == nil {
				v[i] = map[string]any{}
			}
		}
		if len(v) == 0 {
			return nil
		}
	case json.Number:
		if v == "0" {
			return nil
		}
	case bool:
		if !v {
			return nil
		}
	case string:
		if v == "" {
			return nil
		}
	}
	return v
}

// ReadJSON reads what JSON wrote.
func ReadJSON(text string) (*oracle.Problem, error) {
	p := &oracle.Problem{}
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	return p, d.Decode(p)
}

// Found calls f with every problem in a folder of JSON files.
func Found(t *testing.T, folder string, f func(t *testing.T, p *oracle.Problem)) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no problems in %s (%v)", folder, err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			p, err := ReadJSON(string(text))
			if err != nil || !Valid(p) {
				t.Fatalf("%s is not a valid problem: %v", file, err)
			}
			f(t, p)
		})
	}
}
