package trial

import (
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// secret marks every string in the requests here: no log may contain it.
const secret = "zq7"

// A valid request in which every field is set, including each kind of mount, width and
// amount. The positions for a check are in setting.
const (
	base = `
 "board": {"board_id": "zq7-b", "pack_id": "zq7-p", "length_mm": 2400, "thickness_mm": 25.4,
  "stations": [{"x_mm": 10, "near_mm": 0, "far_mm": 240}, {"x_mm": 2400, "near_mm": 4, "far_mm": 232}],
  "defects": [{"from_x_mm": 300, "to_x_mm": 340, "from_y_mm": 50, "to_y_mm": 75, "kind": "zq7-knot"},
   {"from_x_mm": 1500, "to_x_mm": 1540, "from_y_mm": 150, "to_y_mm": 180, "kind": "stain"}]},
 "saw": {"name": "zq7-s", "kerf_mm": 3.6, "step_mm": 0.5,
  "fence": {"min_mm": 40, "max_mm": 290},
  "blades": [{"fixed_mm": 150}, {"fixed_mm": 220.4},
   {"moving": {"min_mm": 260, "max_mm": 420}},
   {"moving": {"min_mm": 310, "max_mm": 560}}],
  "min_gap_mm": 30, "edge_trim_mm": 3, "min_strip_width_mm": 25,
  "limits": {"min_length_mm": 600, "max_length_mm": 6200, "min_width_mm": 60, "max_width_mm": 610,
   "min_thickness_mm": 12, "max_thickness_mm": 90},
  "rerip": {"min_width_mm": 45, "value_per_m2": 2.5}, "max_skew_mm_per_m": 0.5,
  "turns": [{"turn": "BOARD_TURN_EDGE_OVER_EDGE", "cost": 0.02}, {"turn": "BOARD_TURN_END_FOR_END", "cost": 0.01}],
  "feed_m_per_min": 30, "positioning_mm_per_s": 200, "handling_s": 1.5, "positioning_overlaps_handling": true},
 "current_setting": {"fence_mm": 120, "blades_mm": [150, 220.5, 300, 400], "skew_mm_per_m": 0.25},
 "order": {"order_id": "zq7-o", "items": [
  {"item_id": "zq7-stile", "width_mm": 66.6, "value": 14, "value_per": "VALUE_PER_LENGTH",
   "required": {"length_m": 120}, "made": {"length_m": 31.5}, "min_length_mm": 500,
   "max_length_mm": 5000, "tolerance_mm": 0.3, "stack": "zq7-1", "due_boards": 40},
  {"item_id": "zq7-panel", "range": {"min_mm": 40, "max_mm": 90}, "value": 9,
   "required": {"area_m2": 12}, "made": {"area_m2": 1}, "stack": "zq7-2",
   "panel": {"width_mm": 600, "joint_allowance_mm": 1.5}},
  {"item_id": "zq7-rail", "width_mm": 50, "value": 11,
   "required": {"pieces": 40}, "made": {"pieces": 2}, "piece_length_mm": 700, "stack": "zq7-3", "accepts": ["stain", "zq7-knot"]},
  {"item_id": "zq7-door", "width_mm": 55, "stack": "zq7-4", "crosscut": {"kerf_mm": 4, "end_trim_mm": 15,
   "lengths": [{"length_mm": 720, "value": 1.2, "required": 12, "made": 5}, {"length_mm": 430, "value": 0.6}]}}]}`
	cutStrips = `"strips": [{"item_id": "zq7-stile", "width_mm": 66.5, "stretches": [{"length_mm": 700.5}, {"length_mm": 900}], "stack": "zq7-9"},
  {"item_id": "zq7-door", "width_mm": 55, "stretches": [{"length_mm": 2000}], "stack": "zq7-9", "pieces": [{"length_mm": 720, "count": 2}]}]`
	setting = `, "setting": {"fence_mm": 150, "blades_mm": [150, 220.4, 290.5, 361], "skew_mm_per_m": 0.5, "turn": "BOARD_TURN_EDGE_OVER_EDGE"}`
	asked   = `"instructions": {"forced": [{"item_id": "zq7-rail", "strips": 1}], "forbidden": ["zq7-door"], "fence": {"at_mm": 150},
  "blades": [{"blade": 0, "at_mm": 150}, {"blade": 3, "at_mm": 400}], "min_yield_ratio": 0.01}`
	goodID = "zq7-c"
	detail = `"detail": {"fills": "ITEM_DETAIL_ALL", "values": "ITEM_DETAIL_ALL", "plans": "PLAN_DETAIL_FULL"}`
	// A confirmation needs no more than the base has, without the current setting.
	stands = "\n \"current_setting\": {\"fence_mm\": 120, \"blades_mm\": [150, 220.5, 300, 400], \"skew_mm_per_m\": 0.25},"
)

func read(t testing.TB, text string, m proto.Message) {
	t.Helper()
	if err := protojson.Unmarshal([]byte(text), m); err != nil {
		t.Fatal(err)
	}
}

func goodSolve(t testing.TB) *ripwrightv1.SolveBoardRequest {
	t.Helper()
	m := &ripwrightv1.SolveBoardRequest{}
	read(t, `{`+base+`, "options": {"runners_up": 1, "time_limit_ms": 600000, "work_limit": 2000, "turn_boards": true, `+detail+`}}`, m)
	return m
}

// goodInstructed is goodSolve with an operator's instructions for the board.
func goodInstructed(t testing.TB) *ripwrightv1.SolveBoardRequest {
	t.Helper()
	m, by := goodSolve(t), &ripwrightv1.SolveBoardRequest{}
	read(t, `{`+asked+`}`, by)
	m.Instructions = by.GetInstructions()
	return m
}

func goodConfirm(t testing.TB) *ripwrightv1.ConfirmCutRequest {
	t.Helper()
	m := &ripwrightv1.ConfirmCutRequest{}
	read(t, `{`+strings.Replace(base, stands, "", 1)+`, `+detail+`, "confirmation_id": "`+goodID+`", "outcome": "CUT_OUTCOME_AS_MEASURED", `+cutStrips+`}`, m)
	return m
}

func goodCheck(t testing.TB) *ripwrightv1.CheckPlanRequest {
	t.Helper()
	m := &ripwrightv1.CheckPlanRequest{}
	read(t, `{`+base+setting+`, "options": {"time_limit_ms": 600000, "work_limit": 2000}}`, m)
	return m
}

func goodDraw(t testing.TB) *ripwrightv1.DrawPlanRequest {
	t.Helper()
	m := &ripwrightv1.DrawPlanRequest{}
	read(t, `{`+base+setting+`, "units": "PICTURE_UNITS_INCH",
 "options": {"time_limit_ms": 600000, "work_limit": 2000}}`, m)
	return m
}
