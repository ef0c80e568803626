package service_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/wood"
)

// oneSided is a board with a knot in the wide pocket of its saw; turned over or end for
// end, the knot lies where nothing is sawn.
const oneSided = `"board": {"length_mm": 2400, "stations": [{"far_mm": 180}], "defects": [{"from_x_mm": 900, "to_x_mm": 1400, "from_y_mm": 130, "to_y_mm": 150, "kind": "knot"}]},
 "saw": {"kerf_mm": 4, "step_mm": 1, "fence": {"min_mm": 100, "max_mm": 100}, "blades": [{"fixed_mm": 104}, {"fixed_mm": 164}, {"fixed_mm": 270}],
  "min_gap_mm": 25, "min_strip_width_mm": 25, "turns": [{"turn": "BOARD_TURN_EDGE_OVER_EDGE", "cost": 0.75}, {"turn": "BOARD_TURN_END_FOR_END", "cost": 0.5}]},
 "order": {"items": [{"item_id": "narrow", "width_mm": 56, "value": 10, "min_length_mm": 600}, {"item_id": "wide", "width_mm": 102, "value": 10, "min_length_mm": 1800}]}`

// A request without turns gets, but for the saw's name, the bytes of a saw that cannot
// turn; one with turns gets the best plan over all of them, net of their costs.
func TestTurnsAreAskedFor(t *testing.T) {
	m := newMill(t)
	asked := read(t, &ripwrightv1.SolveBoardRequest{}, `{`+oneSided+`, "options": {"runners_up": 2}}`)
	solve := func(asked *ripwrightv1.SolveBoardRequest) *ripwrightv1.SolveBoardResponse {
		a, err := m.SolveBoard(t.Context(), asked)
		if err != nil {
			t.Fatal(err)
		}
		a.SolveTimeUs, a.SawFingerprint = 0, ""
		return a
	}
	without := proto.CloneOf(asked)
	without.GetSaw().Turns = nil
	as := solve(asked)
	if want := solve(without); !proto.Equal(as, want) || as.GetPlan().TurnCost != nil || as.GetPlan().GetSetting().Turn != nil {
		t.Errorf("unasked:\n%v\nfrom a saw without turns:\n%v", as, want)
	}
	asked.Options.TurnBoards = true
	a := solve(asked)
	p := a.GetPlan()
	if p.GetSetting().GetTurn() != ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END || p.GetTurnCost() != 0.5 || math.Abs(p.GetWorth()-3.512) > 1e-9 ||
		math.Abs(a.GetProof().GetWorth()-3.012) > 1e-9 || !a.GetProof().GetProven() || a.GetProof().GetBound() != a.GetProof().GetWorth() {
		t.Errorf("%v %v", p, a.GetProof())
	}
	for _, r := range a.GetRunnersUp() {
		if r.Setting.Turn == nil || r.TurnCost == nil {
			t.Errorf("a runner-up without a turn: %v", r)
		}
	}
	asked.GetSaw().Turns[0].Cost, asked.GetSaw().Turns[1].Cost = 3, 3 // more than it gains
	dear := solve(asked)
	if p := dear.GetPlan(); p.GetSetting().GetTurn() != ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED || p.GetTurnCost() != 0 || p.GetWorth() != as.GetPlan().GetWorth() || !dear.GetProof().GetProven() {
		t.Errorf("%v", p)
	}
	without.Options.TurnBoards = true // of a saw that cannot turn boards
	if p := solve(without).GetPlan(); p.GetSetting().GetTurn() != ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED || p.TurnCost == nil {
		t.Errorf("%v", p)
	}
}

// A setting is scored on the board as it then lies; its distance is from the best over
// all turns, and the figures of the explanation add up to it.
func TestTurnedSettingsAreChecked(t *testing.T) {
	m := newMill(t)
	for turn, want := range map[string]struct {
		worth, distance float64
		optimum         ripwrightv1.BoardTurn
		path            string
	}{
		"":                          {1.344, 0, ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED, ""},
		"BOARD_TURN_AS_SCANNED":     {1.344, 0, ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED, ""},
		"BOARD_TURN_END_FOR_END":    {3.512, 0, ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END, ""},
		"BOARD_TURN_EDGE_OVER_EDGE": {3.512, 0.25, ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END, ""},
		"BOARD_TURN_END_OVER_END":   {1.344, 1.668, ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END, "setting.turn"},
	} {
		asked := read(t, &ripwrightv1.CheckPlanRequest{}, `{`+oneSided+`, "explain": true, "setting": {"fence_mm": 100, "blades_mm": [104, 164, 270]}}`)
		if turn != "" {
			v := ripwrightv1.BoardTurn(ripwrightv1.BoardTurn_value[turn])
			asked.Setting.Turn = &v
		}
		a, err := m.CheckPlan(t.Context(), asked)
		if err != nil {
			t.Fatal(err)
		}
		sum := a.GetExplanation().GetTurning() + a.GetExplanation().GetSawTime()
		for _, d := range a.GetExplanation().GetItems() {
			sum += d.GetDifference()
		}
		path := ""
		for _, b := range a.GetBrokenRules() {
			path = b.GetPath()
		}
		if math.Abs(a.GetPlan().GetWorth()-want.worth) > 1e-9 || math.Abs(a.GetDistance()-want.distance) > 1e-9 || math.Abs(sum-want.distance) > 1e-9 ||
			a.GetOptimum().GetSetting().GetTurn() != want.optimum || path != want.path || !a.GetProof().GetProven() {
			t.Errorf("%q: %v", turn, a)
		}
	}
	// A straight near edge stays at the fence: only a turn over end keeps it there.
	straight := strings.Replace(oneSided, `"length_mm": 2400,`, `"length_mm": 2400, "near_edge_straight": true,`, 1)
	asked := read(t, &ripwrightv1.CheckPlanRequest{}, `{`+straight+`, "setting": {"fence_mm": 100, "blades_mm": [104, 164, 270], "turn": "BOARD_TURN_END_FOR_END"}}`)
	a, err := m.CheckPlan(t.Context(), asked)
	if err != nil || len(a.GetBrokenRules()) != 1 || a.GetBrokenRules()[0].GetRule() != ripwrightv1.SettingRule_SETTING_RULE_TURN_STRAIGHT_EDGE ||
		a.GetOptimum().GetSetting().GetTurn() != ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED {
		t.Errorf("%v %v", a, err)
	}
}

// A picture shows how the board is turned, for the best plan and for a setting.
func TestTurnedPictures(t *testing.T) {
	m := newMill(t)
	for more, says := range map[string][]string{
		`"options": {"turn_boards": true}`: {"turned end for end, the same face up, drawn as it lies", "led when scanned", "was the far one when scanned"},
		`"setting": {"fence_mm": 100, "blades_mm": [104, 164, 270], "turn": "BOARD_TURN_EDGE_OVER_EDGE"}`: {"turned edge over edge, the other face up, drawn as it lies", "was the far one"},
		`"setting": {"fence_mm": 100, "blades_mm": [104, 164, 270], "turn": "BOARD_TURN_END_OVER_END"}`:   {"turned end over end, the other face up", "the board&#39;s turn is end over end; this saw does not allow that turn"},
	} {
		a, err := m.DrawPlan(t.Context(), read(t, &ripwrightv1.DrawPlanRequest{}, `{`+oneSided+`, `+more+`}`))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range says {
			if !strings.Contains(a.GetSvg(), s) {
				t.Errorf("%s: no word of %q in\n%s", more, s, a.GetSvg())
			}
		}
		if a.GetPlan().Setting.Turn == nil {
			t.Errorf("%s: %v", more, a.GetPlan().GetSetting())
		}
	}
}

// Faults of turns are reported by their fields.
func TestWrongTurns(t *testing.T) {
	m := newMill(t)
	for from, to := range map[string]struct{ text, path string }{
		`"turn": "BOARD_TURN_EDGE_OVER_EDGE", `: {``, "saw.turns[0].turn"},
		`"BOARD_TURN_EDGE_OVER_EDGE"`:           {`"BOARD_TURN_AS_SCANNED"`, "saw.turns[0].turn"},
		`"turn": "BOARD_TURN_END_FOR_END"`:      {`"turn": "BOARD_TURN_EDGE_OVER_EDGE"`, "saw.turns[1].turn"},
		`"BOARD_TURN_END_FOR_END"`:              {`9`, "saw.turns[1].turn"},
		`"cost": 0.5`:                           {`"cost": -1`, "saw.turns[1].cost"},
	} {
		_, err := m.SolveBoard(t.Context(), read(t, &ripwrightv1.SolveBoardRequest{}, `{`+strings.Replace(oneSided, from, to.text, 1)+`}`))
		if paths := wrong(err); !slices.Equal(paths, []string{to.path}) {
			t.Errorf("%s for %s: %v", to.text, from, err)
		}
	}
	_, err := m.CheckPlan(t.Context(), read(t, &ripwrightv1.CheckPlanRequest{}, `{`+oneSided+`, "setting": {"fence_mm": 100, "blades_mm": [104, 164, 270], "turn": 77}}`))
	if paths := wrong(err); !slices.Equal(paths, []string{"setting.turn"}) {
		t.Error(err)
	}
}

// The plan of a search that turns a board unasked, or reports another turn than it
// scored, is withheld.
func TestTurnsAreAudited(t *testing.T) {
	for what, lie := range map[string]func(*rip.Result){
		"turned unasked": func(r *rip.Result) { r.Best.Turn = wood.EndForEnd },
		"another turn":   func(r *rip.Result) { r.Best.Turn = wood.AsScanned },
	} {
		m := newMill(t)
		m.solved = lie
		asked := read(t, &ripwrightv1.SolveBoardRequest{}, `{`+oneSided+`, "options": {}}`)
		asked.Options.TurnBoards = what == "another turn"
		if _, err := m.SolveBoard(t.Context(), asked); status.Code(err) != codes.Internal {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// wrong lists the fields that a refusal names.
func wrong(err error) (paths []string) {
	for _, d := range status.Convert(err).Details() {
		if b, ok := d.(*errdetails.BadRequest); ok {
			for _, v := range b.GetFieldViolations() {
				paths = append(paths, v.GetField())
			}
		}
	}
	return paths
}
