package line

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// An order of two widths of which the wide one, at its own value, would always be cut
// first, from boards that take two strips of either. Planned, both are worth the same for
// each square metre.
const (
	pair = `{"order_id": "o1", "items": [
		{"item_id": "wide", "width_mm": 66.6, "value": 20, "required": {"length_m": 480}},
		{"item_id": "slim", "width_mm": 60, "value": 1, "required": {"length_m": 480}}]}`
	oneBoard = `{"board_id": "x", "length_mm": 2400, "stations": [{"far_mm": 240}]}`
	planned  = `{"set_up": {"run_id": "r2", "saw_name": "heron", "boards_in_flight": 60, ` + every + `, "order": ` + pair + `,
		"value_planning": {"replan_every_boards": 2, "expected": [` + oneBoard + `], "set_aside_loss": 0.05}}}`
)

// unexpected is planned without expected boards.
var unexpected = strings.Replace(planned, `"expected": [`+oneBoard+`], `, "", 1)

// unhurried sends a board, which is not cut, and returns its answer once no planning is
// under way: planning runs in the background, and a repeated confirmation asks whether it
// is done.
func (s *stream) unhurried() *ripwrightv1.RunLineResponse {
	s.t.Helper()
	a := s.say(board)
	if a.GetPlan() == nil {
		s.t.Fatal(a)
	}
	confirm := strings.Replace(asPlan, "AS_PLANNED", "NOT_CUT", 1) + jsonOf(a.GetSequence()) + `}}`
	for s.say(confirm).GetValuesUnderWay() {
		time.Sleep(time.Millisecond)
	}
	return a
}

// settle sends boards until values with that number are in force, and returns the answer
// to the first board that was planned by them.
func (s *stream) settle(number int32) *ripwrightv1.RunLineResponse {
	s.t.Helper()
	for range 50 {
		a := s.unhurried()
		if a.GetValues().GetNumber() >= number {
			return a
		}
	}
	s.t.Fatalf("values %d never came into force: %v", number, s.say(board).GetValues())
	return nil
}

func jsonOf(n int32) string {
	text, _ := json.Marshal(n)
	return string(text)
}

// Values are planned at the set-up from expected boards, then again from boards seen, and
// every answer says which are in force. Without being asked for, none are planned.
func TestValuesPlanned(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	if a := s.say(setUp); a.GetValues() != nil {
		t.Errorf("values without value_planning: %v", a.GetValues())
	}
	s = h.stream(t)
	first := s.say(planned).GetValues()
	if first.GetNumber() != 1 || first.GetBoardsSeen() != 0 || len(first.GetValues()) != 2 || first.GetWorthPerM2() <= 0 {
		t.Fatalf("at first: %v", first)
	}
	// Two strips of either come from the one expected board, so a metre of either takes
	// the same lumber. Own: 480 m of 66.6 mm at 20 and 480 m of 60 mm at 1 a square
	// metre, 668.16 for 960 m.
	for _, v := range first.GetValues() {
		if v.GetValuePer() != ripwrightv1.ValuePer_VALUE_PER_LENGTH || v.GetValue() < 0.695 || v.GetValue() > 0.697 {
			t.Errorf("%v, want 0.696 a metre", v)
		}
	}
	a := s.settle(2)
	if v := a.GetValues(); v.GetBoardsSeen() < 2 || v.GetFailed() != 0 || v.GetFailure() != "" {
		t.Errorf("planned again: %v", v)
	}
	if n := testutil.ToFloat64(h.PlanningsOf("planned")); n < 2 {
		t.Errorf("%g plannings counted", n)
	}
	// The plan's worth is by the values in the answer.
	worth := 0.0
	for _, k := range a.GetPlan().GetPlan().GetPockets() {
		for _, v := range a.GetValues().GetValues() {
			if v.GetItemId() == k.GetItemId() {
				worth += v.GetValue() * k.GetCountedLengthM()
			}
		}
	}
	if got := a.GetPlan().GetPlan().GetWorth(); got < worth-1e-6 || got > worth+1e-6 {
		t.Errorf("the plan is worth %g, its strips %g", got, worth)
	}
}

// Without expected boards the order's own values hold until enough boards were seen.
func TestValuesFromSeen(t *testing.T) {
	s := open(t, nil).stream(t)
	a := s.say(unexpected)
	if v := a.GetValues(); v.GetNumber() != 0 || v.GetValues()[0].GetValue() != 20 {
		t.Errorf("before any board: %v", v)
	}
	if a = s.say(board); a.GetValues().GetNumber() != 0 || a.GetPlan().GetSetAside() != nil {
		t.Errorf("the first board: %v", a.GetValues())
	}
	s.settle(1)
}

// Rules keep values or raise them.
func TestValueRules(t *testing.T) {
	s := open(t, nil).stream(t)
	v := s.say(strings.Replace(planned, `"replan_every_boards"`, `"rules": [{"item_id": "wide", "keep": true}, {"item_id": "slim", "times": 3}], "replan_every_boards"`, 1)).GetValues().GetValues()
	if v[0].GetValue() != 20 || v[0].GetValuePer() != ripwrightv1.ValuePer_VALUE_PER_AREA || v[1].GetValue() < 3*0.695 || v[1].GetValue() > 3*0.697 {
		t.Error(v)
	}
}

// A run resumed elsewhere has the same values, and continues planning there.
func TestResumeKeepsValues(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(planned)
	a := s.settle(2)
	other := open(t, nil).stream(t)
	b := other.resume(a.GetState())
	if !proto.Equal(a.GetValues(), b.GetValues()) || string(a.GetState()) != string(b.GetState()) {
		t.Errorf("%v\nbecame %v", a.GetValues(), b.GetValues())
	}
	// Both plan the next board by the same values, unless one of them had new ones ready
	// before it.
	notCut := strings.Replace(asPlan, "AS_PLANNED", "NOT_CUT", 1) + jsonOf(a.GetSequence()) + `}}`
	other.say(notCut) // the same message as the first got
	x, y := s.say(board), other.say(board)
	if x.GetValues().GetNumber() == y.GetValues().GetNumber() && !proto.Equal(x.GetPlan().GetPlan(), y.GetPlan().GetPlan()) {
		t.Errorf("%v\nand %v", x.GetPlan().GetPlan(), y.GetPlan().GetPlan())
	}
	other.settle(b.GetValues().GetNumber() + 1)
}

// The result of a planning depends on the state alone.
func TestSameStateSameValues(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(unexpected)
	s.say(board)
	a := s.say(board) // from here on planning is due
	s.close(t)
	var sets []*ripwrightv1.ValuesInForce
	for range 2 {
		s := open(t, nil).stream(t)
		s.resume(a.GetState())
		got := s.settle(1).GetValues()
		got.BoardsSeen = proto.Int32(0)
		sets = append(sets, got)
	}
	if !proto.Equal(sets[0], sets[1]) {
		t.Errorf("%v\nand %v", sets[0], sets[1])
	}
}

func (s *stream) close(t *testing.T) {
	t.Helper()
	if err := s.CloseSend(); err != nil {
		t.Fatal(err)
	}
}

// Another order or saw is planned for at once, and values of the order before do not
// count for it.
func TestOrderChangePlansAnew(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(strings.Replace(planned, `"replan_every_boards": 2`, `"replan_every_boards": 1000, "rules": [{"item_id": "slim", "times": 2}]`, 1))
	changed := strings.Replace(pair, `"o1"`, `"o2"`, 1)
	a := s.say(`{"order_change": {"order": ` + strings.Replace(changed, `"slim"`, `"lath"`, 1) + `}}`)
	if v := a.GetValues(); v.GetNumber() != 0 || v.GetValues()[0].GetValue() != 20 {
		t.Errorf("values of another order: %v", v)
	}
	a = s.settle(2)
	if v := a.GetValues().GetValues(); v[1].GetItemId() != "lath" || v[1].GetValue() == 1 {
		t.Errorf("not planned again: %v", v)
	}
	// An unchanged order keeps its values until there are new ones.
	a = s.say(`{"order_change": {"order": ` + strings.Replace(changed, `"slim"`, `"lath"`, 1) + `}}`)
	if a.GetValues().GetNumber() != 2 {
		t.Errorf("%v", a.GetValues())
	}
	s.settle(3)
	// No pocket of the other saw can be that wide: the values stay.
	s.say(`{"saw_change": {"saw_name": "plover"}}`)
	for range 50 {
		if a = s.unhurried(); a.GetValues().GetFailed() > 0 {
			break
		}
	}
	if v := a.GetValues(); v.GetNumber() != 3 || !strings.Contains(v.GetFailure(), "no board seen gives anything") {
		t.Errorf("on a saw that makes neither: %v", v)
	}
}

// A board that is worth less than its lumber is better set aside, and the plan says so.
func TestSetAside(t *testing.T) {
	s := open(t, nil).stream(t)
	worth := s.say(planned).GetValues().GetWorthPerM2()
	a := s.say(`{"board": {"board": {"length_mm": 2400, "stations": [{"far_mm": 240}]}}}`)
	if aside := a.GetPlan().GetSetAside(); aside == nil || aside.GetAdvised() || math.Abs(aside.GetMinWorth()-worth*0.240*2.4*0.95) > 1e-9 {
		t.Errorf("a good board: %v", a.GetPlan().GetSetAside())
	}
	// A single strip out of more than half of that board.
	a = s.say(`{"board": {"board": {"length_mm": 2400, "stations": [{"far_mm": 129}]}}}`)
	if aside := a.GetPlan().GetSetAside(); !aside.GetAdvised() || a.GetPlan().GetPlan().GetWorth() >= aside.GetMinWorth() {
		t.Errorf("a bad board: worth %g, %v", a.GetPlan().GetPlan().GetWorth(), aside)
	}
}

// A summary reports what was cut, whichever values it was cut by.
func TestSummaryWithValues(t *testing.T) {
	var sums []*ripwrightv1.RunSummary
	for _, text := range []string{planned, strings.Replace(planned, `"value_planning": {"replan_every_boards": 2, "expected": [`+oneBoard+`], "set_aside_loss": 0.05}`, `"current_setting": {}`, 1)} {
		s := open(t, nil).stream(t)
		s.say(strings.Replace(text, `"value": 1,`, `"value": 17,`, 1)) // nearly the planned values
		for n := int32(2); n < 8; n += 2 {
			s.say(board)
			if a := s.say(asPlan + jsonOf(n) + `}}`); !counted(a) {
				t.Fatal(a)
			}
		}
		sum := s.say(`{"end": {}}`).GetSummary()
		if sum.GetPlanned() != 3 || len(sum.GetOutcomes()) != 1 || sum.GetOutcomes()[0].GetBoards() != 3 {
			t.Errorf("%v", sum)
		}
		sums = append(sums, sum)
	}
	for _, sum := range sums {
		a := sum.GetAccount()
		parts := a.GetStripM2() + a.GetEndTrimM2() + a.GetOffcutM2() + a.GetEdgingM2() + a.GetKerfM2()
		if a.GetFaceM2() != sums[0].GetAccount().GetFaceM2() || parts-a.GetFaceM2() > 1e-9 || a.GetFaceM2()-parts > 1e-9 {
			t.Errorf("%v", a)
		}
	}
}

// An answer says whether a planning is under way. A client that waits until none is has
// the values in force with the very next board, on any machine.
func TestValuesUnderWay(t *testing.T) {
	s := open(t, nil).stream(t)
	if s.say(planned).GetValuesUnderWay() {
		t.Error("the set-up did not wait for the first values")
	}
	for n := int32(2); n < 6; n++ {
		a := s.say(board)
		if a.GetValues().GetNumber() != n-1 {
			t.Fatalf("values %d are in force before those of number %d", a.GetValues().GetNumber(), n)
		}
		confirm := asPlan + jsonOf(a.GetSequence()) + `}}`
		// The second board since the last planning starts another. It may be over by the
		// time of its answer, but not before it began.
		if s.say(confirm).GetValuesUnderWay() {
			t.Errorf("a planning after %d boards", 2*n-3)
		}
		a = s.say(board)
		if a.GetValues().GetNumber() != n-1 {
			t.Fatalf("values %d are in force already", a.GetValues().GetNumber())
		}
		confirm = asPlan + jsonOf(a.GetSequence()) + `}}`
		asked := 0
		for ; s.say(confirm).GetValuesUnderWay(); asked++ {
			if asked == 10_000 {
				t.Fatal("values stay under way")
			}
			time.Sleep(time.Millisecond)
		}
	}
}
