package service_test

import (
	"fmt"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A setting that breaks no rule is never better than the plan that it is compared with,
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
