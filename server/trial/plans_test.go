package trial

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The parts of good requests about whole orders, small enough to be planned again and
// again.
func lumberOf(t testing.TB) string {
	t.Helper()
	board, _, found := strings.Cut(strings.TrimPrefix(strings.TrimSpace(base), `"board": `), "\n \"saw\"")
	if !found {
		t.Fatal("the base has no board")
	}
	return `"lumber": {"seed": 3, "sample_boards": 2, "lots": [
  {"lot_id": "zq7-l", "price_per_mbf": 4, "listed": {"boards": [{"count": 2, "board": ` + strings.TrimSuffix(board, ",") + `}]}},
  {"lot_id": "zq7-t", "price_per_mbf": 5, "tagged": {"thickness_mm": 25, "rows": [{"width_mm": 210, "length_mm": 3000, "count": 5}]}},
  {"lot_id": "zq7-r", "price_per_mbf": 6, "spread": {"mean_width_mm": 200, "width_sd_mm": 20, "min_width_mm": 150,
   "max_width_mm": 260, "lengths": [{"length_mm": 2800, "share": 2}], "crook_mm": 2, "taper_mm": 3, "thickness_mm": 26,
   "defects": [{"kind": "knot", "per_m2": 2, "min_length_mm": 20, "max_length_mm": 60, "min_width_mm": 15, "max_width_mm": 40}]}}]}`
}

// ordered is the base's saw and order, with fewer items and a coarser step so that a call
// is quick.
func ordered(t testing.TB) string {
	t.Helper()
	_, text, _ := strings.Cut(strings.Replace(base, stands, "", 1), "\n \"saw\"")
	for _, c := range [][2]string{
		{`{"length_m": 120}, "made": {"length_m": 31.5}`, `{"length_m": 4}, "made": {"length_m": 1}`},
		{`{"area_m2": 12}, "made": {"area_m2": 1}`, `{"area_m2": 1}, "made": {"area_m2": 0.8}`},
		{`{"pieces": 40}, "made": {"pieces": 2}`, `{"pieces": 4}, "made": {"pieces": 1}`},
		{`"required": 12, "made": 5`, `"required": 6, "made": 4`},
		{`"step_mm": 0.5`, `"step_mm": 2`},
	} {
		if !strings.Contains(text, c[0]) {
			t.Fatalf("the base lacks %s", c[0])
		}
		text = strings.Replace(text, c[0], c[1], 1)
	}
	return `"saw"` + text
}

const (
	paceText = `"pace": {"feed_m_per_min": 20, "positioning_mm_per_s": 150, "handling_s": 2, "shift_hours": 8}`
	common   = `"objective": "PLAN_OBJECTIVE_COST", "set_aside_loss": 0.5, "time_limit_ms": 600000`
)

func goodValues(t testing.TB) *ripwrightv1.PlanValuesRequest {
	t.Helper()
	m := &ripwrightv1.PlanValuesRequest{}
	read(t, `{`+ordered(t)+`,`+lumberOf(t)+`,`+common+`, "relative_gap": 0.2, "currency": "EUR",
 "rules": [{"item_id": "zq7-stile", "times": 2}, {"item_id": "zq7-panel", "keep": true}]}`, m)
	return m
}

func goodQuote(t testing.TB) *ripwrightv1.QuoteOrderRequest {
	t.Helper()
	m := &ripwrightv1.QuoteOrderRequest{}
	read(t, `{`+ordered(t)+`,`+lumberOf(t)+`,`+common+`,`+paceText+`, "values": "VALUE_CHOICE_OWN", "compare": ["VALUE_CHOICE_PLANNED", "VALUE_CHOICE_YIELD"],
 "scrap": [{"item_id": "zq7-stile", "fraction": 0.1}], "simulations": 1, "level": 0.8, "currency": "EUR", "max_boards": 1, "replan_every_boards": 40}`, m)
	return m
}

func goodWatch(t testing.TB) *ripwrightv1.WatchQuoteRequest {
	t.Helper()
	m := goodQuote(t)
	for _, it := range m.GetOrder().GetItems() {
		it.DueBoards = nil // which lots with a number of boards exclude
	}
	buys := &ripwrightv1.QuoteOrderRequest{}
	read(t, `{"buy_list": {"lots": [{"lot_id": "zq7-t", "max_boards": 3, "pack_boards": 20}]},
 "more_orders": [{"order_id": "zq7-more", "items": [{"item_id": "zq7-rail", "width_mm": 40, "value": 2, "required": {"length_m": 3}}]}]}`, buys)
	proto.Merge(m, buys)
	return &ripwrightv1.WatchQuoteRequest{Quote: m}
}

func goodArbor(t testing.TB) *ripwrightv1.PlanArborRequest {
	t.Helper()
	s, order, _ := strings.Cut(ordered(t), "\n \"order\"")
	m := &ripwrightv1.PlanArborRequest{}
	read(t, `{`+s+lumberOf(t)+`,`+paceText+`, "orders": [{"weight": 2, "order"`+order+`}],
 "spacers": {"increment_mm": 10, "origin_mm": 5, "min_mm": 100, "max_mm": 250},
 "max_suggestions": 1, "max_settings": 2, "level": 0.8, "time_limit_ms": 600000}`, m)
	return m
}

func goodSequence(t testing.TB) *ripwrightv1.SequenceOrdersRequest {
	t.Helper()
	m := &ripwrightv1.SequenceOrdersRequest{}
	read(t, `{"time_limit_ms": 600000, "work_limit": 1000000, "current_fixed_mm": [100, 160], "change": {"setup_minutes": 10, "per_blade_minutes": 4}, "jobs": [
 {"order_id": "zq7-1", "due_minutes": 90, "earliest_start_minutes": 5, "weight": 2, "arbors": [{"fixed_mm": [100, 170], "duration_minutes": 60}, {"fixed_mm": [110, 170], "duration_minutes": 55}]},
 {"order_id": "zq7-2", "arbors": [{"fixed_mm": [100, 160], "duration_minutes": 20}]}]}`, m)
	return m
}

func goodShare(t testing.TB) *ripwrightv1.ShareOrderRequest {
	t.Helper()
	board, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(base), `"board": `), "\n \"saw\"")
	saw, order, _ := strings.Cut(ordered(t), "\n \"order\"")
	m := &ripwrightv1.ShareOrderRequest{}
	read(t, `{"order"`+order+`, "time_limit_ms": 600000, "expected": [`+strings.TrimSuffix(board, ",")+`],
 "rules": [{"item_id": "zq7-stile", "times": 2}, {"item_id": "zq7-panel", "keep": true}],
 "lines": [{"line_id": "zq7-east", `+saw+` "boards_per_hour": 300, "fills": [
   {"item_id": "zq7-stile", "made": {"length_m": 1}, "reserved": {"length_m": 0.5}},
   {"item_id": "zq7-door", "lengths": [{"length_mm": 720, "made": 1, "reserved": 1}]}]},
  {"line_id": "zq7-west", `+saw+` "boards_per_hour": 200}]}`, m)
	return m
}

// goodShareByFace has a line with the other kind of pace.
func goodShareByFace(t testing.TB) *ripwrightv1.ShareOrderRequest {
	t.Helper()
	m := goodShare(t)
	m.Expected, m.Rules, m.Lines = nil, nil, m.GetLines()[:1]
	m.Lines[0].Fills, m.Lines[0].Pace = nil, &ripwrightv1.SharingLine_FaceM2PerHour{FaceM2PerHour: 40}
	return m
}

// plans are the requests about whole orders.
func plans(t *testing.T) []proto.Message {
	return []proto.Message{goodValues(t), goodQuote(t), goodWatch(t), goodArbor(t), goodSequence(t), goodShare(t), goodShareByFace(t)}
}

func planPath(req proto.Message) (string, proto.Message) {
	switch req.(type) {
	case *ripwrightv1.PlanValuesRequest:
		return "/v1/orders:planValues", &ripwrightv1.PlanValuesResponse{}
	case *ripwrightv1.QuoteOrderRequest:
		return "/v1/orders:quote", &ripwrightv1.QuoteOrderResponse{}
	case *ripwrightv1.PlanArborRequest:
		return "/v1/arbors:plan", &ripwrightv1.PlanArborResponse{}
	case *ripwrightv1.SequenceOrdersRequest:
		return "/v1/orders:sequence", &ripwrightv1.SequenceOrdersResponse{}
	case *ripwrightv1.ShareOrderRequest:
		return "/v1/orders:share", &ripwrightv1.ShareOrderResponse{}
	case *ripwrightv1.WatchQuoteRequest:
		return "/v1/orders:watchQuote", &ripwrightv1.QuoteOrderResponse{}
	}
	return "", nil
}

// plan makes a call about whole orders over gRPC. For a watched quote the answer is the
// quote.
func (h *house) plan(t *testing.T, req proto.Message) (proto.Message, error) {
	t.Helper()
	switch m := req.(type) {
	case *ripwrightv1.PlanValuesRequest:
		return h.plans.PlanValues(t.Context(), m)
	case *ripwrightv1.QuoteOrderRequest:
		return h.plans.QuoteOrder(t.Context(), m)
	case *ripwrightv1.PlanArborRequest:
		return h.plans.PlanArbor(t.Context(), m)
	case *ripwrightv1.SequenceOrdersRequest:
		return h.plans.SequenceOrders(t.Context(), m)
	case *ripwrightv1.ShareOrderRequest:
		return h.plans.ShareOrder(t.Context(), m)
	case *ripwrightv1.WatchQuoteRequest:
		return h.watch(t, m)
	}
	t.Fatalf("no call takes a %T", req)
	return nil, nil
}

func (h *house) watch(t *testing.T, m *ripwrightv1.WatchQuoteRequest) (*ripwrightv1.QuoteOrderResponse, error) {
	t.Helper()
	s, err := h.plans.WatchQuote(t.Context(), m)
	if err != nil {
		return nil, err
	}
	var last *ripwrightv1.WatchQuoteResponse
	for {
		next, err := s.Recv()
		switch {
		case errors.Is(err, io.EOF):
			if last.GetQuote() == nil {
				return nil, fmt.Errorf("a stream that ends with %v", last)
			}
			return last.GetQuote(), nil
		case err != nil:
			return nil, err
		case last.GetQuote() != nil:
			return nil, fmt.Errorf("%v after the quote", next)
		}
		last = next
	}
}

// lastQuote reads the last line of a quote that was watched over JSON.
func lastQuote(t *testing.T, body string, into proto.Message) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(body), "\n")
	last := strings.TrimPrefix(lines[len(lines)-1], `{"result":`) // the brace is cut off already
	var m ripwrightv1.WatchQuoteResponse
	if err := protojson.Unmarshal([]byte(last), &m); err != nil || m.GetQuote() == nil {
		t.Fatalf("%v in %s", err, last)
	}
	proto.Merge(into, m.GetQuote())
}
