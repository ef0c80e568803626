package line

import (
	"strings"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// instructed is the line's board with the operator's instructions.
func instructed(what string) string {
	return strings.TrimSuffix(board, "}}") + `, "instructions": {` + what + `}}}`
}

// A board is planned by its instructions, from where fence and blades then are; the
// boards after it are not.
func TestInstructions(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(strings.Replace(setUp, `"boards_in_flight": 2`, `"boards_in_flight": 9`, 1))
	free := s.say(board).GetPlan()
	stands := free.GetPlan().GetSetting()
	a := s.say(instructed(`"forbidden": ["stile"], "fence": {}, "blades": [{"blade": 2}]`)).GetPlan()
	if g := a.GetPlan().GetSetting(); g.GetFenceMm() != stands.GetFenceMm() || g.GetBladesMm()[2] != stands.GetBladesMm()[2] {
		t.Errorf("%v is locked, and stands at %v", stands, g)
	}
	for _, k := range a.GetPlan().GetPockets() {
		if k.GetItemId() == "stile" {
			t.Errorf("%v", a)
		}
	}
	n := a.GetInstructed()
	if !n.GetKept() || len(n.GetEach()) != 3 || n.GetEach()[1].GetPath() != "instructions.fence" || n.GetCost() <= 0 || n.GetCost() != n.GetCostBound() {
		t.Errorf("%v", n)
	}
	most := s.say(instructed(`"forced": [{"item_id": "stile", "strips": 3}]`)).GetPlan()
	if d := most.GetDoNotFeed(); most.GetInstructed().GetKept() || d.GetReason() != ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_NOT_AS_INSTRUCTED ||
		!strings.Contains(d.GetSays(), `2 of 3 strips of "stile"`) {
		t.Errorf("%v", most)
	}
	least := s.say(instructed(`"min_yield_ratio": 0.99`)).GetPlan()
	if d := least.GetDoNotFeed(); d.GetReason() != ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_LEAST_YIELD || least.GetInstructed() != nil {
		t.Errorf("%v", least)
	}
	if after := s.say(board).GetPlan(); after.GetInstructed() != nil || after.GetPlan().GetWorth() != free.GetPlan().GetWorth() {
		t.Errorf("%v", after)
	}
}

// A fault of instructions is reported by its field, and the board is not planned.
func TestInstructionsRefused(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(strings.Replace(setUp, `"boards_in_flight": 2`, `"boards_in_flight": 9`, 1))
	for what, wants := range map[string][2]string{
		`"forced": [{"item_id": "stil"}]`:                                    {"forced[0].item_id", `did you mean "stile"?`},
		`"forced": [{"item_id": "stile"}], "forbidden": ["stile"]`:           {"forbidden[0]", "already names"},
		`"forced": [{"item_id": "stile"}, {"item_id": "stile"}]`:             {"forced[1].item_id", "already names"},
		`"forced": [{"item_id": "stile", "strips": 4}]`:                      {"forced[0].strips", "gives 3 strips at most"},
		`"blades": [{"blade": 4}]`:                                           {"blades[0].blade", "the saw has 4 blades"},
		`"blades": [{"blade": 1}, {"blade": 1}]`:                             {"blades[1].blade", "already names"},
		`"blades": [{"blade": 0, "at_mm": 151}]`:                             {"blades[0].at_mm", "fixed at 150"},
		`"fence": {"at_mm": 1000}`:                                           {"fence.at_mm", "within the travel"},
		`"fence": {"at_mm": 150.03}`:                                         {"fence.at_mm", "whole multiples"},
		`"blades": [{"blade": 2, "at_mm": 400}, {"blade": 3, "at_mm": 400}]`: {"blades[1]", "least gap"},
		`"min_yield_ratio": 1.5`:                                             {"min_yield_ratio", "0 to 1"},
	} {
		r := s.say(instructed(what)).GetRefused()
		if len(r.GetFaults()) != 1 || r.GetFaults()[0].GetPath() != "board.instructions."+wants[0] || !strings.Contains(r.GetFaults()[0].GetSays(), wants[1]) {
			t.Errorf("%s: %v", what, r)
		}
	}
	if p := s.say(board).GetPlan(); p == nil {
		t.Error("the board after is not planned")
	}
}
