package trial

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A setting that does not fit the saw is refused.
func TestWrongSettings(t *testing.T) {
	h := open(t)
	for name, c := range map[string]struct {
		spoil       func(*ripwrightv1.CheckPlanRequest)
		field, says string
	}{
		"no fence":      {func(m *ripwrightv1.CheckPlanRequest) { m.Setting.FenceMm = nil }, "setting.fence_mm", "give the position of the fence"},
		"no blades":     {func(m *ripwrightv1.CheckPlanRequest) { m.Setting.BladesMm = nil }, "setting.blades_mm", "has 0 entries; the saw has 4 blades"},
		"a blade less":  {func(m *ripwrightv1.CheckPlanRequest) { m.Setting.BladesMm = m.Setting.BladesMm[1:] }, "setting.blades_mm", "has 3 entries; the saw has 4 blades"},
		"a blade more":  {func(m *ripwrightv1.CheckPlanRequest) { m.Setting.BladesMm = append(m.Setting.BladesMm, 500) }, "setting.blades_mm", "has 5 entries; the saw has 4 blades"},
		"far off":       {func(m *ripwrightv1.CheckPlanRequest) { m.Setting.BladesMm[3] = 5000.1 }, "setting.blades_mm[3]", "-5000 to 5000"},
		"runners-up":    {func(m *ripwrightv1.CheckPlanRequest) { m.Options.RunnersUp = 1 }, "options.runners_up", "must be 0 when a setting is checked"},
		"fence far off": {func(m *ripwrightv1.CheckPlanRequest) { m.Setting.FenceMm = proto.Float64(-5000.1) }, "setting.fence_mm", "-5000 to 5000"},
	} {
		m := goodCheck(t)
		c.spoil(m)
		refused(t, h, name, m, c.field, c.says)
	}
}

// A setting that breaks the saw's rules is scored, and every rule is named. A valid one
// breaks none.
func TestBrokenRules(t *testing.T) {
	h := open(t)
	rules := map[ripwrightv1.SettingRule]bool{}
	for name, c := range map[string]struct {
		fence  float64
		blades []float64
		paths  []string
		says   string
	}{
		"none":                      {150, []float64{150, 220.4, 290.5, 361}, nil, ""},
		"fence off its stops":       {150.2, []float64{150, 220.4, 290.5, 361}, []string{"setting.fence_mm"}, "whole multiples of 0.5"},
		"fence below its travel":    {39.5, []float64{150, 220.4, 290.5, 361}, []string{"setting.fence_mm"}, "the travel is 40 to 290"},
		"fence beyond its travel":   {290.5, []float64{150, 220.4, 290.5, 361}, []string{"setting.fence_mm"}, "the travel is 40 to 290"},
		"blade off its stops":       {150, []float64{150, 220.4, 290.6, 361}, []string{"setting.blades_mm[2]"}, "whole multiples of 0.5"},
		"blade beyond its travel":   {150, []float64{150, 220.4, 290.5, 560.5}, []string{"setting.blades_mm[3]"}, "the travel is 310 to 560"},
		"fixed blade moved":         {150, []float64{150.1, 220.4, 290.5, 361}, []string{"setting.blades_mm[0]"}, "this blade is fixed at 150"},
		"blades too near":           {150, []float64{150, 220.4, 290.5, 323.5}, []string{"setting.blades_mm[3]"}, "leave no room below 324.1"},
		"blades in the wrong order": {150, []float64{150, 220.4, 361, 330}, []string{"setting.blades_mm[3]"}, "leave no room below 394.6"},
		"several":                   {150.1, []float64{151, 220.4, 290.6, 361}, []string{"setting.fence_mm", "setting.blades_mm[0]", "setting.blades_mm[2]"}, ""},
	} {
		m := goodCheck(t)
		m.Setting.FenceMm, m.Setting.BladesMm = proto.Float64(c.fence), c.blades
		v := h.both(t, m)
		answer, ok := v.answer.(*ripwrightv1.CheckPlanResponse)
		if !ok || v.status.Code() != codes.OK {
			t.Errorf("%s: %s", name, v)
			continue
		}
		var paths []string
		said := ""
		for _, b := range answer.GetBrokenRules() {
			paths = append(paths, b.GetPath())
			said += b.GetSays() + "\n"
			if b.GetRule() == ripwrightv1.SettingRule_SETTING_RULE_UNSPECIFIED {
				t.Errorf("%s: %v names no rule", name, b)
			}
			rules[b.GetRule()] = true
		}
		if !slices.Equal(paths, c.paths) || !strings.Contains(said, c.says) {
			t.Errorf("%s: %v %s, want %v %q", name, paths, said, c.paths, c.says)
		}
		if answer.GetPlan().GetSetting().GetFenceMm() != c.fence || !slices.Equal(answer.GetPlan().GetSetting().GetBladesMm(), c.blades) {
			t.Errorf("%s: scored another setting: %v", name, answer.GetPlan())
		}
	}
	for name, c := range map[string]struct {
		skew     float64
		straight bool
		want     ripwrightv1.SettingRule
	}{
		"skew beyond the limit": {1, false, ripwrightv1.SettingRule_SETTING_RULE_SKEW_LIMIT},
		"skew off its stops":    {0.3, false, ripwrightv1.SettingRule_SETTING_RULE_SKEW_STEP},
		"a straight edge":       {0.5, true, ripwrightv1.SettingRule_SETTING_RULE_SKEW_STRAIGHT_EDGE},
	} {
		m := goodCheck(t)
		m.Setting.SkewMmPerM, m.Setting.Turn = proto.Float64(c.skew), nil
		if m.Board.NearEdgeStraight = c.straight; c.straight {
			for _, s := range m.Board.Stations {
				s.NearMm = 0
			}
		}
		answer, _ := h.both(t, m).answer.(*ripwrightv1.CheckPlanResponse)
		if b := answer.GetBrokenRules(); len(b) != 1 || b[0].GetRule() != c.want || b[0].GetPath() != "setting.skew_mm_per_m" {
			t.Errorf("%s: %v", name, b)
		}
		rules[c.want] = true
	}
	for turn, want := range map[ripwrightv1.BoardTurn]ripwrightv1.SettingRule{
		ripwrightv1.BoardTurn_BOARD_TURN_END_OVER_END:   ripwrightv1.SettingRule_SETTING_RULE_TURN,
		ripwrightv1.BoardTurn_BOARD_TURN_EDGE_OVER_EDGE: ripwrightv1.SettingRule_SETTING_RULE_TURN_STRAIGHT_EDGE,
	} {
		m := goodCheck(t)
		m.Setting.SkewMmPerM, m.Setting.Turn, m.Board.NearEdgeStraight = nil, &turn, true
		for _, s := range m.Board.Stations {
			s.NearMm = 0
		}
		answer, _ := h.both(t, m).answer.(*ripwrightv1.CheckPlanResponse)
		if b := answer.GetBrokenRules(); len(b) != 1 || b[0].GetRule() != want || b[0].GetPath() != "setting.turn" {
			t.Errorf("%v: %v", turn, b)
		}
		rules[want] = true
	}
	if all := len(ripwrightv1.SettingRule_name) - 1; len(rules) != all {
		t.Errorf("%d rules of %d were broken", len(rules), all)
	}
}

// Every kind of warning that an answer can carry, and when.
func TestWarnings(t *testing.T) {
	h := open(t)
	seen := map[ripwrightv1.WarningKind]bool{ripwrightv1.WarningKind_WARNING_KIND_UNSPECIFIED: true}
	for name, c := range map[string]struct {
		near     [2]float64
		straight bool
		want     ripwrightv1.WarningKind // unspecified: none
	}{
		"width only":    {[2]float64{0, 0}, false, ripwrightv1.WarningKind_WARNING_KIND_CROOK_UNSEEN},
		"off the fence": {[2]float64{2, 5}, false, ripwrightv1.WarningKind_WARNING_KIND_OFF_FENCE},
		"through it":    {[2]float64{-2, 5}, false, ripwrightv1.WarningKind_WARNING_KIND_OFF_FENCE},
		"as it lies":    {[2]float64{0, 5}, false, ripwrightv1.WarningKind_WARNING_KIND_UNSPECIFIED},
		"straight":      {[2]float64{0, 0}, true, ripwrightv1.WarningKind_WARNING_KIND_UNSPECIFIED},
	} {
		m, check := goodSolve(t), goodCheck(t)
		for i, near := range c.near {
			m.Board.Stations[i].NearMm = near
		}
		m.Board.NearEdgeStraight = c.straight
		check.Board = m.Board
		checked, _ := h.both(t, check).answer.(*ripwrightv1.CheckPlanResponse)
		for _, got := range [][]*ripwrightv1.Warning{solve(t, h, m).GetWarnings(), checked.GetWarnings()} {
			if c.want == ripwrightv1.WarningKind_WARNING_KIND_UNSPECIFIED {
				if len(got) != 0 {
					t.Errorf("%s: %v", name, got)
				}
				continue
			}
			seen[c.want] = true
			if len(got) != 1 || got[0].GetKind() != c.want || got[0].GetPath() != "board.stations" || got[0].GetSays() == "" {
				t.Errorf("%s: %v, want %s", name, got, c.want)
			}
		}
	}
	m := goodSolve(t)
	m.Order.Items[0].Accepts = []string{"knot", "zq7-knott"}
	kind := ripwrightv1.WarningKind_WARNING_KIND_UNKNOWN_DEFECT_KIND
	if w := solve(t, h, m).GetWarnings(); len(w) != 1 || w[0].GetKind() != kind || w[0].GetPath() != "order.items[0].accepts[1]" {
		t.Errorf("a misspelt kind: %v", w)
	}
	seen[kind] = true
	m = goodSolve(t)
	for i, it := range m.GetOrder().GetItems() {
		if _, metres := it.GetRequired().GetAmount().(*ripwrightv1.Amount_LengthM); !metres {
			continue
		}
		it.Required, it.Made = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 9}}, nil
		kind = ripwrightv1.WarningKind_WARNING_KIND_STRIPS_AS_PIECES
		if w := solve(t, h, m).GetWarnings(); len(w) != 1 || w[0].GetKind() != kind || w[0].GetPath() != fmt.Sprintf("order.items[%d].required.pieces", i) {
			t.Errorf("strips as pieces: %v", w)
		}
		seen[kind] = true
		break
	}
	for n := range ripwrightv1.WarningKind_name {
		if k := ripwrightv1.WarningKind(n); !seen[k] {
			t.Errorf("no case gives rise to %s", k)
		}
	}
}
