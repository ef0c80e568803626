package command

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

// Plans turn boards if requested, every form of the answer says so, and a setting can be
// turned.
func TestTurns(t *testing.T) {
	b := open(t)
	b.write(t, "own.yaml", `- {name: own, kerf: 4 mm, step: 1 mm, fence: {min: 100 mm, max: 100 mm}, blades: [{fixed: 104 mm}, {fixed: 164 mm}, {fixed: 270 mm}],
 min_gap: 25 mm, min_strip_width: 25 mm, turns: [{turn: BOARD_TURN_EDGE_OVER_EDGE, cost: 0.5}]}`)
	b.write(t, "knotty.json", `{"board_id": "k1", "length_mm": 2400, "stations": [{"far_mm": 180}], "defects": [{"to_x_mm": 1400, "from_y_mm": 130, "to_y_mm": 150, "kind": "knot"}]}`)
	b.write(t, "wide.yaml", `items: [{item_id: wide, width: 102 mm, value: 10}]`)
	args := func(first string, more ...string) []string {
		return append([]string{first, "--saw-file", "MILL/own.yaml", "--order", "MILL/wide.yaml", "MILL/knotty.json"}, more...)
	}
	if out, _ := b.run(t, 0, args("solve")...); strings.Contains(out, "turn") {
		t.Errorf("turned unasked:\n%s", out)
	}
	if out, _ := b.run(t, 0, args("solve", "--turn-boards")...); !strings.Contains(out, "turn    edge over edge, which costs 0.50") {
		t.Error(out)
	}
	if out, _ := b.run(t, 0, args("solve", "--turn-boards", "MILL/knotty.json")...); !strings.Contains(out, "turned edge over edge: 1 wide") {
		t.Error(out)
	}
	out, _ := b.run(t, 0, args("solve", "--turn-boards", "--csv")...)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || len(rows) < 2 || rows[0][len(rows[0])-1] != "turn" || rows[1][len(rows[1])-1] != "edge over edge" {
		t.Errorf("%v %v", rows, err)
	}
	set := []string{"--fence", "100mm", "--blades", "104mm,164mm,270mm"}
	if out, _ := b.run(t, 0, args("explain", slices.Concat(set, []string{"--turn-boards"})...)...); !strings.Contains(out, "turning the board") || !strings.Contains(out, "-0.50") {
		t.Error(out)
	}
	if out, _ := b.run(t, 0, args("check", slices.Concat(set, []string{"--turn", "edge-over-edge"})...)...); !strings.Contains(out, "worth 0.00 more") {
		t.Error(out)
	}
	if out, _ := b.run(t, statusBroken, args("check", slices.Concat(set, []string{"--turn", "end-for-end"})...)...); !strings.Contains(out, "--turn is end for end; this saw does not allow that turn") {
		t.Error(out)
	}
	if _, says := b.run(t, statusUsage, args("check", slices.Concat(set, []string{"--turn", "over"})...)...); !strings.Contains(says, "--turn is over; write end-for-end") {
		t.Error(says)
	}
}
