package files

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"pgregory.net/rapid"

	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// read reads a file of one message without errors.
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

// An order in people's units equals the order in millimetres.
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
    min_length: 2ft
    accepts: [knot]
    crosscut: {kerf: 4mm, lengths: [{length: 12ft, value: 1, required: 3}, {length_mm: 600}]}
  - {item_id: "2", range: {min: 2", max: 90mm}, required: {area: 120 sq ft}, panel: {width: 24in}}
`, Order, &got)
	if err := protojson.Unmarshal([]byte(`{"order_id": "o", "items": [
  {"item_id": "stile", "width_mm": 44.45, "value": 21, "value_per": "VALUE_PER_LENGTH", "tolerance_mm": 0.396875,
   "required": {"length_m": 60.96}, "made": {"length_m": 3.5}, "min_length_mm": 609.6, "accepts": ["knot"],
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

// A saw's speeds and times carry their units, or are in the units of their names.
func TestSpeedUnits(t *testing.T) {
	for text, want := range map[string][3]float64{
		"feed: 20 m/min, positioning: 300 mm/s, handling: 0.5 s":              {20, 300, 0.5},
		"feed: 65 ft/min, positioning: 12 in/s, handling: 400 ms":             {19.812, 304.8, 0.4},
		"feed_m_per_min: 20, positioning_mm_per_s: 300, handling_s: 0.5":      {20, 300, 0.5},
		"feedMPerMin: 20, positioningMmPerS: 300, handlingS: 0.5":             {20, 300, 0.5},
		"feed: 300 mm/s, positioning: 20 m/min, handling: 1/2 min":            {18, 1000.0 / 3, 30},
		`feed: "65 feet per minute", positioning: 60 fpm, handling: "0.5sec"`: {19.812, 304.8, 0.5},
	} {
		var s ripwrightv1.Saw
		read(t, "saws.yaml", "- {name: a, "+text+"}\n", Saws, &s)
		if got := [3]float64{s.GetFeedMPerMin(), s.GetPositioningMmPerS(), s.GetHandlingS()}; got != want {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
	for text, want := range map[string]string{
		"feed: 20":                          "f:1: saws[0].feed is 20 without a unit; write feed: 20m/min, or feed_m_per_min: 20",
		"positioning: 300":                  "saws[0].positioning is 300 without a unit; write positioning: 300mm/s, or positioning_mm_per_s: 300",
		"handling: 4":                       "saws[0].handling is 4 without a unit; write handling: 4s, or handling_s: 4",
		"feed: 20 m":                        `saws[0].feed "20 m" cannot be read; write it as 20m/min`,
		"positioning: 300 mm/sq":            `saws[0].positioning "300 mm/sq" cannot be read`,
		"handling: 4 mm":                    `saws[0].handling "4 mm" cannot be read; write it as 0.5s`,
		"handling: -4s":                     `saws[0].handling "-4s" is below 0`,
		"feed_m_per_min: 65ft/min":          `saws[0].feed_m_per_min is the text "65ft/min"; must be a number. With a unit write feed: 65ft/min`,
		"feed: 20m/min, feed_m_per_min: 20": "saws[0].feed_m_per_min is set together with feed; set only one of them",
		"fed: 20m/min":                      "saws[0].fed is not a field; write feed",
	} {
		_, err := Read("f", []byte("- {"+text+"}\n"), Saws)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v\nwant %s", text, err, want)
		}
	}
}

// A 0 needs no unit, bare or in quotes, whatever the field measures.
func TestZeroNeedsNoUnit(t *testing.T) {
	for _, zero := range []string{"0", "0.0", "-0", `"0"`} {
		var s ripwrightv1.Saw
		read(t, "saws.yaml", "- {name: a, edge_trim: "+zero+", fence: {min: "+zero+", max: 300mm}, handling: "+zero+", feed: "+zero+"}\n", Saws, &s)
		if s.GetEdgeTrimMm() != 0 || s.GetFence().GetMinMm() != 0 || s.GetFence().GetMaxMm() != 300 || s.GetHandlingS() != 0 || s.GetFeedMPerMin() != 0 {
			t.Errorf("%s: %v", zero, &s)
		}
		var day ripwrightv1.SequenceOrdersRequest
		read(t, "day.yaml", "current_fixed: ["+zero+", 1in]\nchange: {setup: "+zero+"}\n", Day, &day)
		if fixed := day.GetCurrentFixedMm(); len(fixed) != 2 || fixed[0] != 0 || fixed[1] != 25.4 || day.GetChange().GetSetupMinutes() != 0 {
			t.Errorf("%s: %v", zero, &day)
		}
	}
	var o ripwrightv1.CutOrder
	read(t, "order.yaml", "items: [{item_id: a, made: {area: 0}, required: {length: 0}}]\n", Order, &o)
	if m, r := o.GetItems()[0].GetMade(), o.GetItems()[0].GetRequired(); m.GetAreaM2() != 0 || r.GetLengthM() != 0 || m.GetAmount() == nil || r.GetAmount() == nil {
		t.Errorf("an amount of 0 is read as %v", &o)
	}
}

// No field's second name is that of another field of its message, in any kind of file.
func TestNamesAreApart(t *testing.T) {
	seen := map[protoreflect.FullName]bool{}
	var look func(protoreflect.MessageDescriptor)
	look = func(m protoreflect.MessageDescriptor) {
		if seen[m.FullName()] {
			return
		}
		seen[m.FullName()] = true
		names := map[string]bool{}
		for i := range m.Fields().Len() {
			f := m.Fields().Get(i)
			all := []string{f.TextName()}
			if q, alias := file.QuantityOf(f); q != file.Plain {
				all = append(all, alias)
			}
			for _, name := range all {
				if names[name] || name == "" {
					t.Errorf("%s: two fields are called %q", m.FullName(), name)
				}
				names[name] = true
			}
			if f.Message() != nil {
				look(f.Message())
			}
		}
	}
	for _, k := range Kinds {
		look(k.Message)
	}
}

// Boards come as a list, as a single board, and one per line.
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

// Errors are reported with line, field and a correct form.
func TestFaults(t *testing.T) {
	for text, want := range map[string]string{
		"order_id: o\nitem: []\n":                     "f:2: item is not a field; write items",
		"items:\n- item_id: a\n  widht: 2in\n":        "f:3: items[0].widht is not a field; write width",
		"items:\n- item_id: a\n  quux: 2in\n":         "f:3: items[0].quux is not a field; fields are item_id, width_mm, width, range",
		"items:\n- width: 44.5\n":                     "f:2: items[0].width is 44.5 without a unit; write width: 44.5mm, or width_mm: 44.5",
		"items:\n- width_mm: 2in\n":                   `f:2: items[0].width_mm is the text "2in"; must be a number. With a unit write width: 2in`,
		"items:\n- width: two inches\n":               `f:2: items[0].width "two inches" cannot be read; write it as 44.5mm`,
		"items:\n- required: {length: 200}\n":         "write length: 200 lineal ft, or length_m: 200",
		"items:\n- required: {area: 3ft}\n":           "write it as 1.5m2, 120 sq ft",
		"items:\n- width: 2in\n  width_mm: 50.8\n":    "f:3: items[0].width_mm is set together with width; set only one of them",
		"items:\n- width: 2in\n  range: {min: 2in}\n": "f:3: items[0].range is set together with width; set only one of them",
		"items:\n- value: [1]\n":                      "f:2: items[0].value is a list; must be a number",
		"items:\n- value:\n":                          "items[0].value is empty; must be a number",
		"items:\n- value: .nan\n":                     "must be a number",
		"items:\n- item_id: 7\n":                      "items[0].item_id is 7; must be text, in quotes",
		"items:\n- value_per: metre\n":                `items[0].value_per is the text "metre"; must be area or length or strip`,
		"items:\n- made: {pieces: 1.5}\n":             "items[0].made.pieces is 1.5; must be a whole number",
		"items: 3\n":                                  "f:1: items is 3; must be a list",
		"- order_id: o\n":                             "f:1: must be one order with the fields order_id, items",
		"":                                            "f:1: holds nothing; must be one order",
		"a: b: c\n":                                   "f:1: is not YAML",
		"order_id: a\n---\norder_id: b\n":             "begins a second document",
		"order_id: &a b\n":                            "an anchor, an alias or a tag",
	} {
		_, err := Read("f", []byte(text), Order)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v\nwant %s", text, err, want)
		}
	}
	// In JSON lines the line number is that of the file.
	_, err := Read("f.jsonl", []byte("{\"board_id\":\"a\"}\n{\"bord_id\":\"b\"}\n"), Boards)
	if err == nil || !strings.HasPrefix(err.Error(), "f.jsonl:2: bord_id is not a field; write board_id") {
		t.Error(err)
	}
	if _, err := Read("f", []byte("{\"a\":1}\n{\"a\":2}\n"), Order); err == nil || !strings.Contains(err.Error(), "f:2: begins a second object; must be one order") {
		t.Error(err)
	}
	if _, err := Read("f", []byte("- length_mm: 3\n"), Settings); err == nil || strings.Contains(err.Error(), "write fence_mm") {
		t.Errorf("length_mm is taken for a misspelt fence: %v", err)
	}
	// In a file of another kind not every line is reported.
	if _, err := Read("f", []byte(strings.Repeat("- {x: 1}\n", 40)), Boards); err == nil || strings.Count(err.Error(), "\n") != 12 || !strings.HasSuffix(err.Error(), "and 28 more") {
		t.Error(err)
	}
	if _, err := Read("f", []byte("board_id: a\n"), Confirmations); err == nil || !strings.Contains(err.Error(), "must be a list of confirmations") {
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

// examples are the example files of the project, by kind.
func examples(t *testing.T) map[string]Kind {
	t.Helper()
	all := map[string]Kind{}
	for pattern, k := range map[string]Kind{
		"../ripctl/command/mill/saws.yaml": Saws, "../ripctl/command/mill/order.yaml": Order,
		"../ripctl/command/mill/boards.jsonl": Boards, "../ripctl/command/mill/setting.yaml": Setting,
		"../ripctl/command/mill/lumber.yaml": Lumber, "../ripctl/command/mill/confirmations.yaml": Confirmations,
		"../ripctl/command/mill/stops.yaml":    Stops,
		"../ripctl/command/mill/settings.yaml": Settings, "../ripctl/command/mill/current.yaml": Setting,
		"../ripctl/command/mill/day.yaml": Day, "../ripctl/command/mill/lines.yaml": Lines, "../ripctl/command/mill/arbors.yaml": Arbors,
		"../../deploy/saws.example.yaml": Saws, "../../testdata/demo/saws.json": Saws,
		"../../testdata/demo/order.json": Order, "../../testdata/demo/boards.jsonl": Boards,
	} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("no file matches %s: %v", pattern, err)
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

// Times carry their units, fields that another flag sets are unknown, and a confirmation
// names its board.
func TestPlanningFiles(t *testing.T) {
	var day, want ripwrightv1.SequenceOrdersRequest
	read(t, "f", "current_fixed: [1in]\nchange: {setup: 12min, per_blade_minutes: 6}\njobs: [{order_id: a, due: 4h, arbors: [{fixed: [2in], duration: 1h 50min}]}]\n", Day, &day)
	if err := protojson.Unmarshal([]byte(`{"current_fixed_mm": [25.4], "change": {"setup_minutes": 12, "per_blade_minutes": 6},
		"jobs": [{"order_id": "a", "due_minutes": 240, "arbors": [{"fixed_mm": [50.8], "duration_minutes": 110}]}]}`), &want); err != nil {
		t.Fatal(err)
	}
	if !proto.Equal(&day, &want) {
		t.Errorf("read as %v\nwant %v", &day, &want)
	}
	for text, c := range map[string]struct {
		kind Kind
		says string
	}{
		"change: {setup: 12}\n":           {Day, "f:1: change.setup is 12 without a unit; write setup: 1h 30min, or setup_minutes: 12"},
		"change: {setup: 12mm}\n":         {Day, "write it as 45min, 1h 30min or 7.5h"},
		"saw_name: heron\n":               {Arbors, "f:1: saw_name is not a field of this file; give it with --saw"},
		"lumber: {seed: 1}\n":             {Arbors, "f:1: lumber is not a field of this file; give it with --lumber"},
		"lot: []\n":                       {Lumber, "f:1: lot is not a field; write lots"},
		"3\n":                             {Lumber, "must have the fields lots, sample_boards, seed"},
		"":                                {Lumber, "must be lumber with the fields lots"},
		"- {board_sequence: 3}\n":         {Confirmations, "board_sequence is not a field; fields are board_id, outcome"},
		"- {board_id: a, outcome: cut}\n": {Confirmations, "must be as_planned or as_measured or not_cut"},
		"board_id: a\n":                   {Confirmations, "must be a list of confirmations"},
	} {
		if _, err := Read("f", []byte(text), c.kind); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v\nwant %s", text, err, c.says)
		}
	}
	f, err := Read("f", []byte("- {board_id: a, outcome: runner_up, runner_up: 2}\n- {board_id: b, outcome: something_else, strips: [{item_id: x, width: 2in, stretches: [{length: 1ft}]}]}\n"), Confirmations)
	if err != nil {
		t.Fatal(err)
	}
	got := &ripwrightv1.CutConfirmation{}
	if err := f.About(1, got); err != nil || f.BoardID(0) != "a" || f.BoardID(1) != "b" ||
		got.GetOutcome() != ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE || got.GetStrips()[0].GetStretches()[0].GetLengthMm() != 304.8 || len(got.ProtoReflect().GetUnknown()) > 0 {
		t.Errorf("%v %v", got, err)
	}
}

// A length with a unit in a file is exactly the nanometres that it names, in either
// system, whatever else is in the file: written by one reader, read by the other.
func TestLengthsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := unit.Length(rapid.Int64Range(0, 20e9).Draw(t, "nm"))
		if rapid.Bool().Draw(t, "is a fraction") {
			l = l / 396_875 * 396_875 // a 64th of an inch
		}
		for name, s := range people.Systems {
			f, err := Read("f", []byte("- {board_id: a, length: "+s.Exact(l)+"}\n"), Boards)
			if err != nil {
				t.Fatal(err)
			}
			var b ripwrightv1.Board
			if err := f.Into(0, &b); err != nil {
				t.Fatal(err)
			}
			if got, ok := unit.FromMM(b.GetLengthMm()); !ok || got != l {
				t.Fatalf("%d nm in %s comes back as %d", l, name, got)
			}
		}
	})
}

// Typical errors in a first saw, order and board are reported with a correct form, all
// errors of a file at once.
func TestFirstFiles(t *testing.T) {
	for text, c := range map[string]struct {
		kind Kind
		says []string
	}{
		"name: mine\nkerf: 3.2\nfence: {min: 50, max: 300mm}\nblades:\n  - fixed: 150mm\n  - move: {min: 250mm, max: 400mm}\n": {Saws, []string{
			"f:2: kerf is 3.2 without a unit; write kerf: 3.2mm, or kerf_mm: 3.2", "f:3: fence.min is 50 without a unit; write min: 50mm", "f:6: blades[1].move is not a field; fields are fixed_mm, fixed, moving"}},
		"items:\n  - item_id: stile\n    width: 2-3/4\n    required: 200ft\n": {Order, []string{
			`f:3: items[0].width "2-3/4" has no unit; write 2-3/4mm or 2-3/4in`, `f:4: items[0].required is the text "200ft"; must have the fields length_m, length`}},
		"board_id: b1\nlength: 8ft\nwidth: 9-1/2in\nstations: [{x: 3, near_mm: 0, far: 9-1/2in}]\n": {Boards, []string{
			"f:3: width is not a field; a board is as wide as its stations say", "f:4: stations[0].x is 3 without a unit; write x: 3mm, or x_mm: 3"}},
	} {
		_, err := Read("f", []byte(text), c.kind)
		for _, says := range c.says {
			if err == nil || !strings.Contains(err.Error(), says) {
				t.Errorf("%s: %v\nlacks %s", text, err, says)
			}
		}
	}
	// A single saw is not a list.
	if all, err := Read("f", []byte("name: mine\nkerf: 3.2mm\n"), Saws); err != nil || len(all.Messages) != 1 {
		t.Errorf("%v, %v", all, err)
	}
}
