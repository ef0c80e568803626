package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"github.com/ripwright/ripwright/testdata/brief"
)

// Parts of requests about boards, with every kind of field.
const (
	boardJSON = `{"board_id": "b", "pack_id": "p", "length_mm": 2600, "thickness_mm": 27, "stations": [
		{"x_mm": 0, "near_mm": 0, "far_mm": 231}, {"x_mm": 2600, "near_mm": 3, "far_mm": 224}],
		"defects": [{"from_x_mm": 300, "to_x_mm": 420, "from_y_mm": 30, "to_y_mm": 60, "kind": "knot"}]}`
	sawJSON = `{"name": "s", "kerf_mm": 3.6, "step_mm": 0.1, "fence": {"min_mm": 40, "max_mm": 290},
		"blades": [{"fixed_mm": 150}, {"moving": {"min_mm": 200, "max_mm": 420}}, {"moving": {"min_mm": 260, "max_mm": 560}}],
		"min_gap_mm": 30, "edge_trim_mm": 3, "min_strip_width_mm": 25, "limits": {"min_length_mm": 600, "max_width_mm": 610},
		"rerip": {"min_width_mm": 45, "value_per_m2": 2.5}, "feed_m_per_min": 20, "positioning_mm_per_s": 100, "handling_s": 2}`
	orderJSON = `{"order_id": "o", "items": [
		{"item_id": "a", "width_mm": 60, "value": 12, "value_per": "VALUE_PER_LENGTH", "required": {"length_m": 50}, "made": {"length_m": 1},
		 "min_length_mm": 300, "max_length_mm": 6000, "tolerance_mm": 0.2, "stack": "1", "accepts": ["stain"]},
		{"item_id": "b", "range": {"min_mm": 40, "max_mm": 90}, "value": 9, "panel": {"width_mm": 600, "joint_allowance_mm": 2}},
		{"item_id": "c", "width_mm": 50, "crosscut": {"kerf_mm": 4, "end_trim_mm": 10, "lengths": [{"length_mm": 700, "value": 1, "required": 9, "made": 1}]}}]}`
	boardCut = `"board": ` + boardJSON + `, "saw": ` + sawJSON + `, "order": ` + orderJSON
	boardJob = boardCut + `, "current_setting": {"fence_mm": 120, "blades_mm": [150, 300, 260]}`
)

// Requests about boards that the service accepts match the OpenAPI description, as do its
// answers.
func TestOpenAPIOfBoards(t *testing.T) {
	a, _, _ := start(t)
	for path, body := range map[string]string{
		"/v1/boards:solve": `{` + boardJob + `, "options": {"runners_up": 2, "work_limit": 100000}}`,
		"/v1/boards:check": `{` + boardJob + `, "setting": {"fence_mm": 100, "blades_mm": [150, 220, 300]}}`,
		"/v1/boards:draw":  `{` + boardJob + `, "units": "PICTURE_UNITS_INCH"}`,
		"/v1/cuts:confirm": `{` + boardCut + `, "confirmation_id": "1", "outcome": "CUT_OUTCOME_AS_MEASURED",
			"strips": [{"item_id": "c", "width_mm": 50, "stretches": [{"length_mm": 1500}], "pieces": [{"length_mm": 700, "count": 2}], "stack": "2"}]}`,
	} {
		code, says := post(t, a, path, body)
		if code != http.StatusOK {
			t.Fatalf("%s: %d %s", path, code, says)
		}
		ask, answer := described(t, path)
		if err := ask.Validate(decoded(t, []byte(body))); err != nil {
			t.Errorf("%s: the service accepts what the description does not: %v", path, err)
		}
		if err := answer[code].Validate(decoded(t, []byte(says))); err != nil {
			t.Errorf("the answer to %s differs from its description: %v", path, err)
		}
	}
}

// wrongIn calls try for every place of a document made wrong: by a misspelt key, and by a
// number far out of range, a string or a Boolean of the wrong type, of which each place has
// two in short tests.
func wrongIn(v any, path string, try func(path string)) {
	all := []any{json.Number("-1e300"), "-", json.Number("1e300"), []any{true}}
	change := func(at string, set func(any), was any) {
		some := all
		if brief.On() {
			some = all[len(at)%2*2:][:2]
		}
		for _, wrong := range some {
			set(wrong)
			try(fmt.Sprintf("%s = %v", at, wrong))
		}
		set(was)
	}
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
			try(path + "." + key + "x")
			delete(v, key+"x")
			if _, text := part.(string); !text { // an id may be any string
				change(path+"."+key, func(w any) { v[key] = w }, part)
			}
			v[key] = part
			wrongIn(part, path+"."+key, try)
		}
	case []any:
		for i, part := range v {
			wrongIn(part, fmt.Sprintf("%s[%d]", path, i), try)
		}
	}
}

// A document made wrong in any one place is refused by the service and by the
// description.
func TestOpenAPIRefusesWhatTheServiceRefuses(t *testing.T) {
	a, _, _ := start(t)
	ask, answer := described(t, "/v1/boards:solve")
	doc := decoded(t, []byte(`{`+boardJob+`, "options": {"runners_up": 2, "time_limit_ms": 1000, "work_limit": 100000}}`))
	tried := 0
	wrongIn(doc, "", func(path string) {
		tried++
		body, err := json.Marshal(doc)
		if err != nil {
			t.Fatal(err)
		}
		code, says := post(t, a, "/v1/boards:solve", string(body))
		if code != http.StatusBadRequest {
			t.Errorf("%s: the service says %d", path, code)
		}
		if err := answer[http.StatusBadRequest].Validate(decoded(t, []byte(says))); err != nil {
			t.Errorf("%s: the refusal differs from its description: %v", path, err)
		}
		if err := ask.Validate(decoded(t, bytes.Clone(body))); err == nil {
			t.Errorf("%s: the description accepts it", path)
		}
	})
	if tried < 200 {
		t.Errorf("%d ways to be wrong were tried", tried)
	}
}
