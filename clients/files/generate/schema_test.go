package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"github.com/ripwright/ripwright/clients/files"
)

// The published schemas are those generated from the protobuf schema.
func TestSchemasAreGenerated(t *testing.T) {
	all, err := generate(t.Context(), "../../../proto")
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range files.Kinds {
		published, err := k.Schema()
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(published, all[k.Name]) {
			t.Errorf("%s.schema.json differs from what the protobuf schema gives; run go generate ./clients/files", k.Name)
		}
	}
}

func compiled(t *testing.T, k files.Kind) *jsonschema.Schema {
	t.Helper()
	text, err := k.Schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:ripwright:v1:"+k.Name, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("urn:ripwright:v1:" + k.Name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// value gives the content of a YAML or JSON text, as JSON.
func value(t *testing.T, text []byte) any {
	t.Helper()
	var v any
	if err := yaml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	out, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// documents are the example files of the project, one per message if they are JSON lines,
// and one of each kind with every sort of field.
func documents(t *testing.T) map[string][]any {
	t.Helper()
	all := map[string][]any{}
	for name, kind := range map[string]string{
		"../../ripctl/command/mill/saws.yaml": "saws", "../../ripctl/command/mill/order.yaml": "order",
		"../../ripctl/command/mill/boards.jsonl": "boards", "../../ripctl/command/mill/setting.yaml": "setting",
		"../../ripctl/command/mill/lumber.yaml": "lumber", "../../ripctl/command/mill/confirmations.yaml": "confirmations",
		"../../ripctl/command/mill/stops.yaml":    "stops",
		"../../ripctl/command/mill/settings.yaml": "settings",
		"../../ripctl/command/mill/day.yaml":      "day", "../../ripctl/command/mill/lines.yaml": "lines", "../../ripctl/command/mill/arbors.yaml": "arbors",
		"../../../deploy/saws.example.yaml": "saws", "../../../testdata/demo/saws.json": "saws",
		"../../../testdata/demo/order.json": "order",
	} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		parts := [][]byte{text}
		if strings.HasSuffix(name, ".jsonl") {
			parts = bytes.Split(bytes.TrimSpace(text), []byte("\n"))
		}
		for _, p := range parts {
			all[kind] = append(all[kind], value(t, p))
		}
	}
	all["order"] = append(all["order"], value(t, []byte(`{order_id: o, items: [
 {item_id: a, range: {min: 2in, max_mm: 90}, value: 1, value_per: VALUE_PER_AREA, made: {pieces: 2}, required: {pieces: 3}, piece_length: 2ft,
  max_length: 12ft, tolerance_mm: 0, stack: s, accepts: [knot], panel: {width: 24in, joint_allowance: 1/16in}},
 {item_id: b, width: 2in, crosscut: {kerf: 4mm, end_trim: 1in, lengths: [{length: 30in, value: 2, required: 4, made: 1}]}}]}`)))
	all["boards"] = append(all["boards"], value(t, []byte(`[{board_id: a, pack_id: p, length: 8ft, thickness: 1in, near_edge_straight: true,
 stations: [{x: 0mm, near_mm: 0, far: 9in}], defects: [{from_x: 1ft, to_x: 2ft, from_y: 1in, to_y_mm: 50, kind: knot}]}]`)))
	return all
}

func TestExamplesAreAccepted(t *testing.T) {
	all := documents(t)
	for _, k := range files.Kinds {
		s := compiled(t, k)
		if len(all[k.Name]) == 0 {
			t.Errorf("no example of %s", k.Name)
		}
		for i, d := range all[k.Name] {
			if err := s.Validate(d); err != nil {
				t.Errorf("%s %d: %v", k.Name, i, err)
			}
		}
	}
}

// misspell calls try once for every key in a document, with that key misspelt.
func misspell(v any, path string, try func(path string)) {
	switch v := v.(type) {
	case map[string]any:
		keys := make([]string, 0, len(v))
		for key := range v {
			keys = append(keys, key)
		}
		for _, key := range keys {
			part := v[key]
			delete(v, key)
			v[key+"x"] = part
			try(path + "." + key)
			delete(v, key+"x")
			v[key] = part
			misspell(part, path+"."+key, try)
		}
	case []any:
		for i, part := range v {
			misspell(part, fmt.Sprintf("%s[%d]", path, i), try)
		}
	}
}

// Every field of every example is refused once it is misspelt, by the schema and
// by the reader.
func TestMisspeltFieldsAreRefused(t *testing.T) {
	all := documents(t)
	for _, k := range files.Kinds {
		s, tried := compiled(t, k), 0
		for _, d := range all[k.Name] {
			misspell(d, k.Name, func(path string) {
				if tried++; tried%5 > 0 && tried > 200 {
					return // boards have hundreds of stations, all alike
				}
				if s.Validate(d) == nil {
					t.Errorf("the schema accepts the field %sx", path)
				}
				text, err := json.Marshal(d)
				if err != nil {
					t.Fatal(err)
				}
				if _, err := files.Read(k.Name+".json", text, k); err == nil || !strings.Contains(err.Error(), "is not a field") {
					t.Errorf("the reader accepts the field %sx: %v", path, err)
				}
			})
		}
		if tried < 2 {
			t.Errorf("%s: only %d fields were tried", k.Name, tried)
		}
	}
}

// The schema too refuses what belongs elsewhere.
func TestElsewhere(t *testing.T) {
	s := compiled(t, files.Arbors)
	for text, fine := range map[string]bool{`max_settings: 3`: true, `saw_name: a`: false, `saw: {}`: false, `lumber: {}`: false} {
		if err := s.Validate(value(t, []byte(text))); (err == nil) != fine {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// The schema and the reader refuse the same files, for other errors as well.
func TestSchemaAndReaderAgree(t *testing.T) {
	for text, fine := range map[string]bool{
		`items: [{item_id: a, width: 1-3/4in}]`:                   true,
		`items: [{item_id: a, width: 44.5}]`:                      false,
		`items: [{item_id: a, width: "44.5"}]`:                    false,
		`items: [{item_id: a, width_mm: 44.5}]`:                   true,
		`items: [{item_id: a, tolerance: 0}]`:                     true,
		`items: [{item_id: a, tolerance: "0"}]`:                   true,
		`items: [{item_id: a, tolerance: 0.5}]`:                   false,
		`items: [{item_id: a, made: {length: 0}}]`:                true,
		`items: [{item_id: a, made: {length: 3}}]`:                false,
		`items: [{item_id: a, width_mm: 1-3/4in}]`:                false,
		`items: [{item_id: a, width: 2in, width_mm: 50.8}]`:       false,
		`items: [{item_id: a, width: 2in, range: {min: 2in}}]`:    false,
		`items: [{item_id: a, value_per: strip}]`:                 true,
		`items: [{item_id: a, value_per: VALUE_PER_STRIP}]`:       true,
		`items: [{item_id: a, value_per: VALUE_PER_UNSPECIFIED}]`: false,
		`items: [{item_id: a, value_per: pound}]`:                 false,
		`items: [{item_id: a, made: {pieces: 1.5}}]`:              false,
		`items: [{item_id: a, made: {pieces: 1, length: 3ft}}]`:   false,
		`items: {item_id: a}`:                                     false,
		`items: [{item_id: 3}]`:                                   false,
		`items: [{item_id: a, accepts: knot}]`:                    false,
	} {
		err := compiled(t, files.Order).Validate(value(t, []byte(text)))
		_, err2 := files.Read("f.yaml", []byte(text), files.Order)
		if (err == nil) != fine || (err2 == nil) != fine {
			t.Errorf("%s: the schema says %v, the reader %v", text, err, err2)
		}
	}
}
