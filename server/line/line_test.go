package line

import (
	"context"
	"strings"
	"testing"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/rip"
)

// A run from set-up to summary, its sums worked out by hand.
func TestRun(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	a := s.say(setUp)
	if ready(a).GetSawFingerprint() == "" || ready(a).GetBoardsInFlight() != 2 {
		t.Fatal(a)
	}
	fill(t, "at first", a, 31.5, 0, 88.5)
	a = s.say(board)
	if p := a.GetPlan(); p.GetSawFingerprint() == "" || p.GetPlan().GetWorth() != 4.47552 || len(p.GetTargets()) != 3 || p.GetCycle() != nil {
		t.Fatal(a)
	}
	fill(t, "reserved", a, 31.5, 4.8, 83.7)
	// The next board's targets start from where this one leaves the saw.
	before := a.GetPlan().GetTargets()
	a = s.say(board)
	for i, target := range a.GetPlan().GetTargets() {
		if target.GetFromPosition() != before[i].GetToPosition() {
			t.Errorf("from %v after %v", target, before[i])
		}
	}
	fill(t, "two under way", a, 31.5, 9.6, 78.9)
	a = s.say(board)
	if r := a.GetRefused(); r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT {
		t.Fatal(a)
	}
	a = s.say(asPlan + `2}}`)
	if !counted(a) {
		t.Fatal(a)
	}
	fill(t, "one cut", a, 36.3, 4.8, 78.9)
	if a = s.say(asPlan + `2}}`); counted(a) {
		t.Error("counted twice")
	}
	fill(t, "said twice", a, 36.3, 4.8, 78.9)
	a = s.say(`{"confirmation": {"board_sequence": 3, "outcome": "CUT_OUTCOME_SENT_BACK"}}`)
	fill(t, "sent back", a, 36.3, 0, 83.7)
	a = s.say(`{"board": {"board": {"length_mm": 9000, "stations": [{"far_mm": 240}]}}}`)
	if r := a.GetRefused(); r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_OUTSIDE_SAW_LIMITS || r.GetFaults()[0].GetPath() != "board.board.length_mm" ||
		r.GetFaults()[0].GetReason() != ripwrightv1.FaultReason_FAULT_REASON_OUTSIDE_SAW_LIMITS {
		t.Fatal(a)
	}
	sum := s.say(`{"end": {}}`).GetSummary()
	if sum.GetPlanned() != 2 || sum.GetRefused() != 2 || sum.GetUnconfirmed() != 0 {
		t.Errorf("boards: %v", sum)
	}
	// 2 strips of 2.4 m: 4.8 m = 15.748 ft, 0.0666 x 4.8 = 0.31968 m2.
	i := sum.GetItems()[0]
	if len(sum.GetItems()) != 1 || i.GetStrips() != 2 || i.GetLengthM() != 4.8 || i.GetLengthFt() != i.GetLengthM()/0.3048 || i.GetAreaM2() != 0.31968 || i.GetStack() != "1" {
		t.Errorf("items: %v", sum.GetItems())
	}
	// Face (240 + 228) / 2 x 2400 mm2 = 0.5616 m2, and the board feet as on the front page.
	acc := sum.GetAccount()
	if acc.GetFaceM2() != 0.5616 || acc.GetYieldRatio() != 0.31968/0.5616 || sum.GetPacks()[0].GetPackId() != "p" {
		t.Errorf("account: %v", acc)
	}
	if bf := acc.GetBoardFeet() / 6.045012090024179; bf < 1-1e-12 || bf > 1+1e-12 {
		t.Errorf("%g board feet", acc.GetBoardFeet())
	}
	if _, err := s.Recv(); err == nil || err.Error() != "EOF" {
		t.Errorf("after the summary: %v", err)
	}
}

// Another order or saw is in force from the next board on; a faulty one changes nothing.
func TestChanges(t *testing.T) {
	s := open(t, nil).stream(t)
	first := s.say(setUp)
	s.say(board)
	if a := s.say(`{"order_change": {"order": {"order_id": "o2", "items": [{"item_id": "x", "width_mm": -1}]}}}`); a.GetRefused().GetFaults()[0].GetPath() != "order_change.order.items[0].width_mm" || len(a.GetFills()) != 1 {
		t.Errorf("a wrong order: %v", a)
	}
	// Without made the run's own count continues; boards under way stay reserved.
	a := s.say(`{"order_change": {"order": ` + strings.Replace(items, `"made": {"length_m": 31.5}, `, ``, 1) + `}}`)
	fill(t, "the same order", a, 31.5, 4.8, 83.7)
	a = s.say(`{"order_change": {"order": {"order_id": "o2", "items": [{"item_id": "rail", "width_mm": 50, "value": 1}]}}}`)
	if ready(a) == nil || a.GetFills()[0].GetItemId() != "rail" {
		t.Fatal(a)
	}
	a = s.say(board)
	for _, k := range a.GetPlan().GetPlan().GetPockets() {
		if k.GetItemId() == "stile" {
			t.Error("planned for the order before")
		}
	}
	if a := s.say(`{"saw_change": {"saw_name": "wren"}}`); a.GetRefused().GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_UNKNOWN_SAW {
		t.Errorf("an unknown saw: %v", a)
	}
	s.say(asPlan + `2}}`)
	a = s.say(`{"saw_change": {"saw_name": "plover"}}`)
	if ready(a).GetSawFingerprint() == ready(first).GetSawFingerprint() || len(ready(a).GetUnconfirmed()) != 1 || ready(a).GetSawName() != "plover" || a.GetSawChanged() == nil {
		t.Fatal(a)
	}
	plan := s.say(board).GetPlan()
	if plan.GetSawFingerprint() != ready(a).GetSawFingerprint() || len(plan.GetTargets()) != 1 {
		t.Errorf("on the other saw: %v", plan)
	}
	a = s.say(`{"order_change": {"order": ` + items + `}}`) // made is given
	fill(t, "back with made", a, 31.5, 0, 88.5)
}

// busy is a solver without a free place, late one that is never in time.
type solver struct{ err error }

func (s solver) Live(context.Context, *wire.Job, time.Time, time.Duration) (*rip.Result, time.Duration, time.Duration, error) {
	return nil, 0, 0, s.err
}

// A board that gets no turn is refused in its place, and the stream continues.
func TestNoTurn(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(setUp)
	late := strings.Replace(board, `{"board": {`, `{"board": {"answer_within_ms": 1e-6, `, 1)
	if a := s.say(late); a.GetRefused().GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE {
		t.Fatal(a)
	}
	if a := s.say(board); a.GetPlan() == nil {
		t.Fatal(a)
	}
	s = open(t, func(c *Config) { c.Solver = solver{refuse.Busy("too many boards are waiting", time.Second)} }).stream(t)
	s.say(setUp)
	if a := s.say(board); a.GetRefused().GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY {
		t.Fatal(a)
	}
	fill(t, "after it", s.say(`{"order_change": {"order": `+items+`}}`), 31.5, 0, 88.5)
}
