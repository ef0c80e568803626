package service_test

import (
	"fmt"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A setting that breaks no rule is never better than the plan with which it is compared,
// however soon the search is stopped.
func TestSettingIsAPlanToBeginWith(t *testing.T) {
	m := newMill(t)
	for steps := 1; steps <= 5000; steps *= 3 {
		a, err := m.CheckPlan(t.Context(), read(t, &ripwrightv1.CheckPlanRequest{}, fmt.Sprintf(`{"saw_name": "heron",
			"board": {"length_mm": 2400, "stations": [{"far_mm": 240}, {"x_mm": 2400, "near_mm": 4, "far_mm": 232}]},
			"order": {"items": [{"item_id": "stile", "width_mm": 66.6, "value": 14}, {"item_id": "rail", "width_mm": 50, "value": 11}]},
			"options": {"work_limit": %d}, "setting": {"fence_mm": 153.6, "blades_mm": [150, 220.4, 290.6, 360.8]}}`, steps)))
		if err != nil {
			t.Fatal(err)
		}
		if len(a.GetBrokenRules()) > 0 {
			t.Fatalf("%v", a)
		}
		if a.GetDistance() < 0 {
			t.Errorf("after %d steps the setting is %g better than the best plan", steps, -a.GetDistance())
		}
	}
}

// If the saw's time has a price and nothing can be cut, only the cost of its moves
// distinguishes a setting from the best plan, to the last digits of small numbers.
func TestNothingButMovesTellsSettingsApart(t *testing.T) {
	m := newMill(t)
	for fence := 100.0; fence <= 160; fence += 0.3 {
		a, err := m.CheckPlan(t.Context(), read(t, &ripwrightv1.CheckPlanRequest{}, fmt.Sprintf(`{
			"saw": {"kerf_mm": 3.2, "step_mm": 0.1, "fence": {"max_mm": 200}, "blades": [{"fixed_mm": 0}, {"fixed_mm": 300}],
				"feed_m_per_min": 31, "min_gap_mm": 50, "min_strip_width_mm": 10, "positioning_mm_per_s": 170, "handling_s": 3},
			"board": {"length_mm": 2417, "stations": [{"far_mm": 240}]}, "order": {"items": [{"item_id": "stile", "width_mm": 66.6, "value": 14}]},
			"options": {"price_per_saw_hour": 97}, "setting": {"fence_mm": %g, "blades_mm": [0, 300]}}`, fence)))
		if err != nil {
			t.Fatalf("fence %g: %v", fence, err)
		}
		if a.GetDistance() < 0 || a.GetOptimum().GetWorth() != 0 {
			t.Fatalf("fence %g: %v", fence, a)
		}
	}
}
