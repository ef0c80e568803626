package trial

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
)

// Bodies that are faulty as JSON or as a message. Each replaces a part of a good body, or
// all of it if from is empty.
var wrongBodies = map[string]struct {
	from, to, field, says string
}{
	"not JSON":              {"", "board: zq7", "body", "is not JSON: invalid character 'b'"},
	"truncated":             {"", `{"board": {"length_mm": 24`, "body", "ends too early"},
	"a list":                {"", `[]`, "body", "is a list; must be an object"},
	"a string":              {"", `"zq7"`, "body", "must be an object"},
	"null":                  {"", `null`, "body", "must be an object"},
	"two objects":           {"", `{} {}`, "body", "continues after its end"},
	"not UTF-8":             {`zq7-b`, "zq7-\xff", "body", "UTF-8"},
	"half a character":      {`zq7-b`, `zq7-\ud800`, "board.board_id", "must be a string"},
	"deep":                  {"", strings.Repeat(`{"board":`, 100_000), "body", "nested more than 32 deep"},
	"deep lists":            {"", strings.Repeat("[", 1_000_000), "body", "nested more than 32 deep"},
	"deep and closed":       {"", `{"board":` + strings.Repeat("[", 9_000) + strings.Repeat("]", 9_000) + `}`, "body", "nested more than 32 deep"},
	"deep in no field":      {"", `{"bored":` + strings.Repeat(`{"a":`, 20) + "1" + strings.Repeat("}", 20) + `}`, "bored", "did you mean board?"},
	"too deep in no field":  {"", `{"bored":` + strings.Repeat(`{"a":`, 9_000) + "1" + strings.Repeat("}", 9_000) + `}`, "body", "nested more than 32 deep"},
	"misspelt field":        {`"board":`, `"bord":`, "bord", "did you mean board? There are board, saw, saw_name, current_setting, order, options"},
	"misspelt below":        {`"length_mm": 2400`, `"lengtj_mm": 2400`, "board.lengtj_mm", "did you mean length_mm?"},
	"misspelt in a list":    {`"far_mm": 232`, `"farmm": 232`, "board.stations[1].farmm", "did you mean far_mm?"},
	"misspelt in camels":    {`"thickness_mm"`, `"thicknesMm"`, "board.thicknesMm", "did you mean thickness_mm?"},
	"nothing like a field":  {`"pack_id"`, `"xyzzyxyzzy"`, "board.xyzzyxyzzy", "is not a field; there are board_id"},
	"field twice":           {`"length_mm": 2400`, `"length_mm": 2400, "length_mm": 2401`, "board.length_mm", "is given twice"},
	"field twice, two ways": {`"length_mm": 2400`, `"length_mm": 2400, "lengthMm": 2400`, "board.length_mm", "as length_mm and as lengthMm"},
	"message twice":         {`"order": {`, `"order": {}, "order": {`, "order", "is given twice"},
	"saw and its name":      {`"saw": {`, `"saw_name": "heron", "saw": {`, "saw", "is set together with saw_name"},
	"width and range":       {`"width_mm": 50`, `"width_mm": 50, "range": {}`, "order.items[2].range", "is set together with width_mm"},
	"two units":             {`{"pieces": 40}`, `{"pieces": 40, "length_m": 1}`, "order.items[2].required.length_m", "is set together with pieces"},
	"text for a number":     {`"length_mm": 2400`, `"length_mm": "long"`, "board.length_mm", `is the string "long"; must be a number, above 0 and at most 20000`},
	"no number that fits":   {`"length_mm": 2400`, `"length_mm": 1e999`, "board.length_mm", "is 1e999; must be a number, above 0 and at most 20000"},
	"no number below":       {`"near_mm": 4`, `"near_mm": -1e999`, "board.stations[1].near_mm", "-2000 to 2000"},
	"bare NaN":              {`"length_mm": 2400`, `"length_mm": NaN`, "body", "is not JSON"},
	"number for text":       {`"zq7-b"`, `7`, "board.board_id", "is 7; must be a string"},
	"number for a list":     {"", `{"board": {"stations": 7}}`, "board.stations", "is 7; must be a list"},
	"object for a list":     {"", `{"board": {"stations": {}}}`, "board.stations", "is an object; must be a list"},
	"null in a list":        {"", `{"board": {"stations": [null]}}`, "board.stations[0]", "is null; must be an object"},
	"number for an object":  {"", `{"board": 7}`, "board", "is 7; must be an object"},
	"number for a bool":     {"", `{"board": {"near_edge_straight": 1}}`, "board.near_edge_straight", "must be true or false"},
	"unknown choice":        {`"VALUE_PER_LENGTH"`, `"VALUE_PER_BOARD"`, "order.items[0].value_per", "must be one of VALUE_PER_UNSPECIFIED, VALUE_PER_AREA"},
	"half a runner-up":      {`"runners_up": 1`, `"runners_up": 1.5`, "options.runners_up", "a whole number, 0 to 20"},
	"long number":           {`"runners_up": 1`, `"runners_up": 1` + strings.Repeat("0", 40), "options.runners_up", "is a long number"},
	"many runners-up":       {`"runners_up": 1`, `"runners_up": 10000000000`, "options.runners_up", "is 10000000000; must be a whole number, 0 to 20"},
}

func TestWrongBodies(t *testing.T) {
	h := open(t)
	whole := `{` + base + `, "options": {"runners_up": 1, "work_limit": 20000}}`
	for name, c := range wrongBodies {
		body := c.to
		if c.from != "" {
			if body = strings.Replace(whole, c.from, c.to, 1); body == whole {
				t.Fatalf("%s: %s is not in the request", name, c.from)
			}
		}
		for _, path := range []string{solvePath, checkPath, drawPath} {
			r := h.post(t, path, body)
			v := refusal(t, r)
			if r.code != http.StatusBadRequest || v.status.Code() != codes.InvalidArgument || !slices.Equal(v.fields(), []string{c.field}) {
				t.Errorf("%s to %s: %d %.300s\nwant INVALID_ARGUMENT for %s alone", name, path, r.code, v, c.field)
			} else if !strings.Contains(v.says(), c.says) {
				t.Errorf("%s to %s: %.300s\nwant it to say %q", name, path, v, c.says)
			}
		}
	}
}

// Of very many faulty fields not all are looked for or named.
func TestManyWrongFields(t *testing.T) {
	h := open(t)
	r := h.post(t, solvePath, `{"board": {"stations": [`+strings.Repeat(`{"q":1},`, 1999)+`{}]}}`)
	if v := refusal(t, r); r.code != http.StatusBadRequest || len(v.fields()) != 24 || len(r.body) > 16<<10 {
		t.Errorf("%d, %d fields, %d bytes", r.code, len(v.fields()), len(r.body))
	}
}

// An empty body, null and {} are the same: everything is missing.
func TestEmptyBody(t *testing.T) {
	h := open(t)
	for _, body := range []string{"", "{}", `{"board": null, "saw": null, "order": null}`} {
		v := refusal(t, h.post(t, solvePath, body))
		if got := v.fields(); !slices.Equal(got, []string{"board", "saw", "order"}) {
			t.Errorf("%q: %s", body, v)
		}
	}
}
