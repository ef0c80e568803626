package trial

import (
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A saw on which nothing can move and a clear board: pockets 100, 80, 60 and 50 mm wide
// over a length of 2500 mm, so that each item's gain can be worked out by hand.
const handmade = `{
 "board": {"length_mm": 2500, "stations": [{"far_mm": 340}]},
 "saw": {"kerf_mm": 4, "step_mm": 1, "fence": {}, "min_gap_mm": 40, "edge_trim_mm": 0, "min_strip_width_mm": 40,
  "blades": [{"fixed_mm": 10}, {"fixed_mm": 114}, {"fixed_mm": 198}, {"fixed_mm": 262}, {"fixed_mm": 316}]},
 "order": {"items": [
  {"item_id": "by length", "width_mm": 100, "value": 10, "required": {"length_m": 10}, "made": {"length_m": 1}},
  {"item_id": "by area", "range": {"min_mm": 75, "max_mm": 85}, "value": 10, "required": {"area_m2": 0.4}, "made": {"area_m2": 0.25}},
  {"item_id": "by pieces of a length", "width_mm": 60, "value": 10, "piece_length_mm": 700, "required": {"pieces": 100}, "made": {"pieces": 5}},
  {"item_id": "by strips, without end", "width_mm": 50, "value": 10, "made": {"pieces": 1}},
  {"item_id": "not made", "width_mm": 130, "value": 10, "required": {"pieces": 3}},
  {"item_id": "complete", "width_mm": 100, "value": 99, "required": {"length_m": 5}, "made": {"length_m": 5.5}}]}}`

func length(v float64) *ripwrightv1.Amount {
	return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: v}}
}

func area(v float64) *ripwrightv1.Amount {
	return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_AreaM2{AreaM2: v}}
}

func pieces(v int32) *ripwrightv1.Amount {
	return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: v}}
}

func TestFills(t *testing.T) {
	h := open(t)
	var req ripwrightv1.SolveBoardRequest
	read(t, handmade, &req)
	every := &ripwrightv1.SolveOptions{Detail: &ripwrightv1.AnswerDetail{Fills: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL}}
	req.Options = every
	// A board adds 2.5 m; 0.08 m x 2.5 m = 0.2 m2; 3 pieces of 0.7 m; 1 strip.
	want := []*ripwrightv1.Fill{
		{Required: length(10), Made: length(1), Reserved: length(2.5), MadeAfter: length(3.5), Open: length(6.5)},
		{Required: area(0.4), Made: area(0.25), Reserved: area(0.2), MadeAfter: area(0.45), Open: area(0)},
		{Required: pieces(100), Made: pieces(5), Reserved: pieces(3), MadeAfter: pieces(8), Open: pieces(92)},
		{Made: pieces(1), Reserved: pieces(1), MadeAfter: pieces(2)},
		{Required: pieces(3), Made: pieces(0), Reserved: pieces(0), MadeAfter: pieces(0), Open: pieces(3)},
		{Required: length(5), Made: length(5.5), Reserved: length(0), MadeAfter: length(5.5), Open: length(0)},
	}
	fills := solve(t, h, &req).GetFills()
	compareFills(t, &req, fills, want)

	// What is made goes into the next request: the range has all it needs.
	for i, f := range fills {
		req.Order.Items[i].Made = f.GetMadeAfter()
	}
	want = []*ripwrightv1.Fill{
		{Required: length(10), Made: length(3.5), Reserved: length(2.5), MadeAfter: length(6), Open: length(4)},
		{Required: area(0.4), Made: area(0.45), Reserved: area(0), MadeAfter: area(0.45), Open: area(0)},
		{Required: pieces(100), Made: pieces(8), Reserved: pieces(3), MadeAfter: pieces(11), Open: pieces(89)},
		{Made: pieces(2), Reserved: pieces(1), MadeAfter: pieces(3)},
		{Required: pieces(3), Made: pieces(0), Reserved: pieces(0), MadeAfter: pieces(0), Open: pieces(3)},
		{Required: length(5), Made: length(5.5), Reserved: length(0), MadeAfter: length(5.5), Open: length(0)},
	}
	compareFills(t, &req, solve(t, h, &req).GetFills(), want)

	// A setting that is checked fills the order as it stands.
	check := &ripwrightv1.CheckPlanRequest{Board: req.GetBoard(), Order: req.GetOrder(),
		SawChoice: &ripwrightv1.CheckPlanRequest_Saw{Saw: req.GetSaw()},
		Options:   every,
		Setting:   &ripwrightv1.Setting{FenceMm: proto.Float64(0), BladesMm: []float64{10, 114, 198, 262, 316}}}
	v := h.both(t, check)
	answer, ok := v.answer.(*ripwrightv1.CheckPlanResponse)
	if !ok || v.status.Code() != codes.OK {
		t.Fatal(v)
	}
	compareFills(t, &req, answer.GetFills(), want)
}

func solve(t *testing.T, h *house, req *ripwrightv1.SolveBoardRequest) *ripwrightv1.SolveBoardResponse {
	t.Helper()
	v := h.both(t, req)
	answer, ok := v.answer.(*ripwrightv1.SolveBoardResponse)
	if !ok || v.status.Code() != codes.OK {
		t.Fatal(v)
	}
	return answer
}

func compareFills(t *testing.T, req *ripwrightv1.SolveBoardRequest, got, want []*ripwrightv1.Fill) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d fills, want %d", len(got), len(want))
	}
	for i, w := range want {
		w.ItemId = req.GetOrder().GetItems()[i].GetItemId()
		if !proto.Equal(got[i], w) {
			t.Errorf("fill %v\nwant %v", got[i], w)
		}
	}
}
