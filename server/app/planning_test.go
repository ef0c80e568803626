package app

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/workers"
)

// shows gives what a path serves.
func shows(t *testing.T, a *App, path string) string {
	t.Helper()
	r, err := http.Get("http://" + a.HTTP() + path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// JSON callers can make the calls about orders, with the built-in saws.
func TestPlanningOverJSON(t *testing.T) {
	a, _, _ := start(t)
	order := `"saw_name": "heron", "order": {"items": [
		{"item_id": "stile", "width_mm": 66.6, "required": {"length_m": 20}},
		{"item_id": "rail", "width_mm": 50, "required": {"pieces": 12}, "piece_length_mm": 500}]},
		"lumber": {"lots": [{"lot_id": "pack", "price_per_mbf": 4, "tagged": {"thickness_mm": 25.4, "rows": [
			{"width_mm": 180, "length_mm": 2400, "count": 30}, {"width_mm": 220, "length_mm": 3000, "count": 20}]}}]}`
	code, says := post(t, a, "/v1/orders:planValues", "{"+order+`, "objective": "PLAN_OBJECTIVE_COST"}`)
	var values ripwrightv1.PlanValuesResponse
	if err := protojson.Unmarshal([]byte(says), &values); code != http.StatusOK || err != nil || !values.Proven || values.GetBound() <= 0 {
		t.Fatalf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:quote", "{"+order+`, "simulations": 3}`)
	var quote ripwrightv1.QuoteOrderResponse
	if err := protojson.Unmarshal([]byte(says), &quote); code != http.StatusOK || err != nil || quote.GetQuote().GetSimulations() != 3 {
		t.Fatalf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:watchQuote", `{"quote": {`+order+`, "simulations": 3}}`)
	lines := strings.Split(strings.TrimSpace(says), "\n")
	if code != http.StatusOK || len(lines) < 2 || !strings.Contains(lines[len(lines)-1], `"board_feet"`) {
		t.Errorf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:sequence", `{"change": {"per_blade_minutes": 5}, "jobs": [{"order_id": "a", "arbors": [{"fixed_mm": [100]}]}]}`)
	if code != http.StatusOK || !strings.Contains(says, `"proven":true`) {
		t.Errorf("%d %s", code, says)
	}
	code, says = post(t, a, "/v1/orders:quote", `{"saw_name": "heron"}`)
	if code != http.StatusBadRequest || !strings.Contains(says, "lumber") {
		t.Errorf("%d %s", code, says)
	}
	metrics := shows(t, a, "/metrics")
	for _, line := range []string{
		`ripwright_plan_duration_seconds_count{call="PlanValues"} 1`, `ripwright_plan_duration_seconds_count{call="QuoteOrder"} 1`,
		`ripwright_plan_queue_duration_seconds_count{call="WatchQuote"} 1`, `ripwright_plan_duration_seconds_count{call="SequenceOrders"} 1`,
		`ripwright_plans_running{call="QuoteOrder"} 0`, `ripwright_plans_waiting{call="QuoteOrder"} 0`, `ripwright_plan_workers_busy 0`,
		fmt.Sprintf("ripwright_plan_workers %d", workers.Default()),
	} {
		if !strings.Contains(metrics, line+"\n") {
			t.Errorf("the metrics lack %s", line)
		}
	}
	// Three runs of a few boards each, and a few more for planning their values.
	solved := regexp.MustCompile(`ripwright_plan_boards_solved_total\{call="QuoteOrder"\} (\d+)`).FindStringSubmatch(metrics)
	if solved == nil {
		t.Fatal("the metrics lack the boards solved for quotes")
	}
	if n, err := strconv.Atoi(solved[1]); err != nil || float64(n) < 3*quote.GetQuote().GetBoards().GetMean() {
		t.Errorf("%s boards solved for 3 simulations of %v", solved[1], quote.GetQuote().GetBoards())
	}
}

// The plan in the guide is the one that the service gives.
func TestGuidesPlan(t *testing.T) {
	text, err := os.ReadFile("../../clients/planning.md")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile("(?s)`order.json`,\n\n```json\n(.*?)```.*?gives[^\n]*\n\n```json\n(.*?)```").FindSubmatch(text)
	if m == nil {
		t.Fatal("the guide has no plan")
	}
	var want, got ripwrightv1.PlanValuesResponse
	if err := protojson.Unmarshal(m[2], &want); err != nil {
		t.Fatal(err)
	}
	a, _, _ := start(t)
	code, says := post(t, a, "/v1/orders:planValues", string(m[1]))
	if err := protojson.Unmarshal([]byte(says), &got); err != nil || code != http.StatusOK {
		t.Fatalf("%d %s", code, says)
	}
	got.SolveTimeUs = 0
	if *update {
		text = bytes.Replace(text, m[2], shown(t, "curl", &got), 1)
		if err := os.WriteFile("../../clients/planning.md", text, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !proto.Equal(&want, &got) {
		t.Errorf("the guide shows\n%s\nand the service says\n%s", protojson.Format(&want), protojson.Format(&got))
	}
}
