package files

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// read reads a file of one message that must have nothing wrong in it.
func read(t *testing.T, name, text string, k Kind, m proto.Message) *File {
	t.Helper()
	f, err := Read(name, []byte(text), k)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Into(0, m); err != nil {
		t.Fatal(err)
	}
	return f
}

// An order with people's units is the order in millimetres.
func TestUnits(t *testing.T) {
	var got, want ripwrightv1.CutOrder
	read(t, "a.yaml", `
order_id: o
items:
  - item_id: stile
    width: 1-3/4in
    value: 21
    value_per: length
    tolerance: 1/64in
    required: {length: 200 lineal ft}
    made: {length_m: 3.5}
    least_length: 2ft
    accepts: [knot]
    crosscut: {kerf: 4mm, lengths: [{length: 12ft, value: 1, required: 3}, {length_mm: 600}]}
  - {item_id: "2", range: {min: 2", max: 90mm}, required: {area: 120 sq ft}, panel: {width: 24in}}
`, Order, &got)
	if err := protojson.Unmarshal([]byte(`{"order_id": "o", "items": [
  {"item_id": "stile", "width_mm": 44.45, "value": 21, "value_per": "VALUE_PER_LENGTH", "tolerance_mm": 0.396875,
   "required": {"length_m": 60.96}, "made": {"length_m": 3.5}, "least_length_mm": 609.6, "accepts": ["knot"],
   "crosscut": {"kerf_mm": 4, "lengths": [{"length_mm": 3657.6, "value": 1, "required": 3}, {"length_mm": 600}]}},
  {"item_id": "2", "range": {"min_mm": 50.8, "max_mm": 90}, "required": {"area_m2": 11.1483648}, "panel": {"width_mm": 609.6}}]}`), &want); err != nil {
		t.Fatal(err)
	}
	if !proto.Equal(&got, &want) {
		t.Errorf("read as %v\nwant %v", &got, &want)
	}
	var set ripwrightv1.Setting
	read(t, "a.json", `{"fence": "6in", "blades": ["6in", "220.4mm"], "skew_mm_per_m": -1.5}`, Setting, &set)
	if set.GetFenceMm() != 152.4 || len(set.GetBladesMm()) != 2 || set.GetBladesMm()[0] != 152.4 || set.GetSkewMmPerM() != -1.5 {
		t.Errorf("read as %v", &set)
	}
}

// Boards come as a list, as one, and one a line.
func TestBoards(t *testing.T) {
	const one = `{"board_id":"a","length_mm":2000,"stations":[{"far_mm":200}]}`
	for name, text := range map[string]string{
		"one.json":        one,
		"one.yaml":        "board_id: a\nlength: 2m\nstations: [{far: 200mm}]\n",
		"list.json":       "[" + one + "]",
		"list.yaml":       "- board_id: a\n  length_mm: 2000\n  stations:\n  - far_mm: 200\n",
		"lines.jsonl":     one + "\n\n" + one + "\n",
		"lines by itself": one + "\n" + one + "\n",
	} {
		var b ripwrightv1.Board
		f := read(t, name, text, Boards, &b)
		if b.GetBoardId() != "a" || b.GetLengthMm() != 2000 || b.GetStations()[0].GetFarMm() != 200 {
			t.Errorf("%s: %v", name, &b)
		}
		if strings.HasPrefix(name, "lines") != (len(f.Messages) == 2) {
			t.Errorf("%s: %d boards", name, len(f.Messages))
		}
	}
}

// What is wrong is told with its line, its field and what to write.
func TestFaults(t *testing.T) {
	for text, want := range map[string]string{
		"order_id: o\nitem: []\n":                     "f:2: item is no field; write items",
		"items:\n- item_id: a\n  widht: 2in\n":        "f:3: items[0].widht is no field; write width",
		"items:\n- item_id: a\n  quux: 2in\n":         "f:3: items[0].quux is no field; there are item_id, width_mm, width, range",
		"items:\n- width: 44.5\n":                     "f:2: items[0].width is 44.5 without a unit; write width: 44.5mm, or width_mm: 44.5",
		"items:\n- width_mm: 2in\n":                   `f:2: items[0].width_mm is the text "2in"; must be a number. With a unit write width: 44.5mm`,
		"items:\n- width: two inches\n":               `f:2: items[0].width "two inches" cannot be read; write it as 44.5mm`,
		"items:\n- required: {length: 200}\n":         "write length: 200 lineal ft, or length_m: 200",
		"items:\n- required: {area: 3ft}\n":           "write it as 1.5m2, 120 sq ft",
		"items:\n- width: 2in\n  width_mm: 50.8\n":    "f:3: items[0].width_mm is set beside width; leave one of them out",
		"items:\n- width: 2in\n  range: {min: 2in}\n": "f:3: items[0].range is set beside width; leave one of them out",
		"items:\n- value: [1]\n":                      "f:2: items[0].value is a list; must be a number",
		"items:\n- value:\n":                          "items[0].value is empty; must be a number",
		"items:\n- value: .nan\n":                     "must be a number",
		"items:\n- item_id: 7\n":                      "items[0].item_id is 7; must be text, in quotes",
		"items:\n- value_per: metre\n":                `items[0].value_per is the text "metre"; must be area or length or piece`,
		"items:\n- made: {pieces: 1.5}\n":             "items[0].made.pieces is 1.5; must be a whole number",
		"items: 3\n":                                  "f:1: items is 3; must be a list",
		"- order_id: o\n":                             "f:1: must be one order with the fields order_id, items",
		"":                                            "f:1: holds nothing; must be one order",
		"a: b: c\n":                                   "f:1: is no YAML",
		"order_id: a\n---\norder_id: b\n":             "begins a second document",
		"order_id: &a b\n":                            "an anchor, an alias or a tag",
	} {
		_, err := Read("f", []byte(text), Order)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v\nwant %s", text, err, want)
		}
	}
	// In JSON lines the line is the file's.
	_, err := Read("f.jsonl", []byte("{\"board_id\":\"a\"}\n{\"bord_id\":\"b\"}\n"), Boards)
	if err == nil || !strings.HasPrefix(err.Error(), "f.jsonl:2: bord_id is no field; write board_id") {
		t.Error(err)
	}
	if _, err := Read("f", []byte("name: a\n"), Saws); err == nil || !strings.Contains(err.Error(), "must be a list of saws") {
		t.Error(err)
	}
}

// The service's paths are found in the file that was sent.
func TestLine(t *testing.T) {
	f := read(t, "f", "order_id: o\nitems:\n  - item_id: a\n    width: 2in\n    range_note: 1\n"[:51], Order, &ripwrightv1.CutOrder{})
	for path, want := range map[string]int{"items[0].width_mm": 4, "items[0].value": 3, "items[0]": 3, "items[7].x": 2, "nothing": 1, "order_id": 1} {
		if got := f.Line(0, path); got != want {
			t.Errorf("%s is on line %d, want %d", path, got, want)
		}
	}
}

// examples are the files that the project shows to people, by kind.
func examples(t *testing.T) map[string]Kind {
	t.Helper()
	all := map[string]Kind{}
	for pattern, k := range map[string]Kind{
		"../ripctl/command/mill/saws.yaml": Saws, "../ripctl/command/mill/order.yaml": Order,
		"../ripctl/command/mill/boards.jsonl": Boards, "../ripctl/command/mill/setting.yaml": Setting,
		"../../deploy/saws.example.yaml": Saws, "../../testdata/demo/saws.json": Saws,
		"../../testdata/demo/order.json": Order, "../../testdata/demo/boards.jsonl": Boards,
	} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("nothing is %s: %v", pattern, err)
		}
		for _, name := range found {
			all[name] = k
		}
	}
	return all
}

func TestExamplesAreRead(t *testing.T) {
	for name, k := range examples(t) {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Read(name, text, k)
		if err != nil {
			t.Error(err)
			continue
		}
		if len(f.Messages) == 0 {
			t.Errorf("%s holds nothing", name)
		}
	}
}
