package app

import (
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The calls about orders are there for JSON callers, with the built-in saws.
func TestPlanningOverJSON(t *testing.T) {
	a, _, _ := start(t)
	order := `"saw_name": "heron", "order": {"items": [
		{"item_id": "stile", "width_mm": 66.6, "required": {"length_m": 20}},
		{"item_id": "rail", "width_mm": 50, "required": {"pieces": 12}, "piece_length_mm": 500}]},
		"lumber": {"lots": [{"lot_id": "pack", "price_per_board_foot": 4, "tagged": {"thickness_mm": 25.4, "rows": [
			{"width_mm": 180, "length_mm": 2400, "count": 30}, {"width_mm": 220, "length_mm": 3000, "count": 20}]}}]}`
	code, says := post(t, a, "/v1/orders:values", "{"+order+`, "objective": "PLAN_OBJECTIVE_COST"}`)
	var values ripwrightv1.PlanValuesResponse
	if err := protojson.Unmarshal([]byte(says), &values); code != http.StatusOK || err != nil || !values.Proven || values.Bound <= 0 {
		t.Fatalf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:quote", "{"+order+`, "runs": 3}`)
	var quote ripwrightv1.QuoteOrderResponse
	if err := protojson.Unmarshal([]byte(says), &quote); code != http.StatusOK || err != nil || quote.GetQuote().GetRuns() != 3 {
		t.Fatalf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:watchQuote", `{"quote": {`+order+`, "runs": 3}}`)
	lines := strings.Split(strings.TrimSpace(says), "\n")
	if code != http.StatusOK || len(lines) < 2 || !strings.Contains(lines[len(lines)-1], `"board_feet"`) {
		t.Errorf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:sequence", `{"change": {"per_blade_min": 5}, "jobs": [{"order_id": "a", "arbors": [{"fixed_mm": [100]}]}]}`)
	if code != http.StatusOK || !strings.Contains(says, `"proven":true`) {
		t.Errorf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:quote", `{"saw_name": "heron"}`)
	if code != http.StatusBadRequest || !strings.Contains(says, "lumber") {
		t.Errorf("%d %s", code, says)
	}
}

// The plan in the README is the one that the service gives.
func TestReadmePlan(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile("(?s)`order.json`,\n\n```json\n(.*?)```.*?gives[^\n]*\n\n```json\n(.*?)```").FindSubmatch(text)
	if m == nil {
		t.Fatal("the README has no plan")
	}
	var want, got ripwrightv1.PlanValuesResponse
	if err := protojson.Unmarshal(m[2], &want); err != nil {
		t.Fatal(err)
	}
	a, _, _ := start(t)
	code, says := post(t, a, "/v1/orders:values", string(m[1]))
	if err := protojson.Unmarshal([]byte(says), &got); err != nil || code != http.StatusOK {
		t.Fatalf("%d %s", code, says)
	}
	got.PlanTimeUs = 0
	if !proto.Equal(&want, &got) {
		t.Errorf("the README shows\n%s\nand the service says\n%s", protojson.Format(&want), protojson.Format(&got))
	}
}
