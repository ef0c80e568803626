package line

import (
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// overlapping is queued with last boards that serve two orders.
func overlapping(from string, first string, next ...string) string {
	return strings.Replace(queued(first, next...), `"next_orders"`, `"overlap_from_boards": `+from+`, "next_orders"`, 1)
}

// strips are the orders and items of a plan's pockets.
func strips(p *ripwrightv1.Plan) string {
	var all []string
	for _, k := range p.GetPockets() {
		if k.GetItemId() != "" {
			all = append(all, k.GetOrderId()+"/"+k.GetItemId())
		}
	}
	return strings.Join(all, " ")
}

// The board that could finish an order serves the next one too, in the wood for which the
// order has no use, and both orders' books record it, on a resumed stream and if it is
// not cut.
func TestOverlap(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	narrow := strings.Replace(ofStiles("second", 90), "66.6", "60", 1)
	a := s.say(overlapping("1", ofStiles("first", 12), narrow))
	in(t, "at first", a, "first", false)
	a = s.say(board) // 2: 12 m are open, 0.8 m2; the board has 0.56
	if got := strips(a.GetPlan().GetPlan()); got != "/stile /stile" {
		t.Errorf("far from the end: %s", got)
	}
	s.say(asPlan + `2}}`) // 3
	a = s.say(board)      // 4: 7.2 m are open, 0.48 m2
	if got := strips(a.GetPlan().GetPlan()); got != "/stile /stile" {
		t.Errorf("what the order can use: %s", got)
	}
	a = s.say(board) // 5: 2.4 m, one strip
	in(t, "its last board", a, "first", false)
	if got := strips(a.GetPlan().GetPlan()); got != "/stile second/stile" && got != "second/stile /stile" {
		t.Fatalf("its last board: %v", a)
	}
	fill(t, "its last board", a, 4.8, 7.2, 0)
	stands(t, "its last board", a, "second", 0, 2.4)
	on := h.stream(t)
	a = on.resume(a.GetState())
	stands(t, "resumed", a, "second", 0, 2.4)
	a = on.say(`{"confirmation": {"board_sequence": 5, "outcome": "CUT_OUTCOME_NOT_CUT"}}`) // 6
	stands(t, "not cut", a, "second", 0, 0)
	fill(t, "not cut", a, 4.8, 4.8, 2.4)
	a = on.say(board) // 7
	stands(t, "another", a, "second", 0, 2.4)
	next := 0
	for i, k := range a.GetPlan().GetPlan().GetPockets() {
		if k.GetOrderId() == "second" {
			next = i
		}
	}
	on.say(asPlan + `4}}`) // 8
	one := `{"item_id": "stile", "width_mm": 60, "stretches": [{"length_mm": 2390}], "order_id": "second"}`
	a = on.say(confirmed(7, "AS_MEASURED", `, "strips": [{"item_id": "stile", "width_mm": 66.5, "stretches": [{"length_mm": 2400}]}, `+one+`]`)) // 9
	if a.GetSettled().GetResult() != ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED || len(a.GetSettled().GetDoubts()) > 0 {
		t.Errorf("pocket %d: %v", next, a)
	}
	stands(t, "measured", a, "second", 2.39, 0)
	a = on.say(board) // 10
	in(t, "afterwards", a, "second", false)
	fill(t, "afterwards", a, 2.39, 4.8, 90-7.19)
	if got := strips(a.GetPlan().GetPlan()); strings.Contains(got, "second/") {
		t.Errorf("a board of its own: %s", got)
	}
	on.say(`{"confirmation": {"board_sequence": 10, "outcome": "CUT_OUTCOME_SENT_BACK"}}`)
	sum := on.say(`{"end": {}}`).GetSummary()
	if o := sum.GetOrders(); o[0].GetFills()[0].GetMade().GetLengthM() != 12 || o[1].GetFills()[0].GetMade().GetLengthM() != 2.39 {
		t.Errorf("%v", o)
	}
	for _, i := range sum.GetItems() {
		if want := map[string]int32{"first": 5, "second": 1}[i.GetOrderId()]; i.GetStrips() != want {
			t.Errorf("%v", i)
		}
	}
}

// Nothing is taken from the order in force, however much the next one's items are worth;
// instructions about its items, or an item without an end, keep a board for one order; so
// does a run that does not ask for overlap.
func TestOverlapNot(t *testing.T) {
	dear := strings.Replace(ofStiles("dear", 90), `"value": 14`, `"value": 140000`, 1)
	endless := strings.Replace(ofStiles("first", 1), `"required": {"length_m": 1}, `, "", 1)
	told := strings.Replace(board, `{"board": {`, `{"board": {"instructions": {"forbidden": ["stile"]}, `, 1)
	for what, c := range map[string]struct{ setUp, board, want string }{
		"worth more":   {overlapping("100", ofStiles("first", 4), dear), board, "/stile /stile"},
		"instructed":   {overlapping("1", ofStiles("first", 1), dear), told, ""},
		"endless":      {overlapping("100", endless, dear), board, "/stile /stile"},
		"not asked":    {queued(ofStiles("first", 1), dear), board, "/stile /stile"},
		"nothing open": {overlapping("1", ofStiles("first", 1), ofStiles("next", 0)), board, "/stile /stile"},
	} {
		a := open(t, nil).stream(t)
		a.say(c.setUp)
		if got := a.say(c.board); strips(got.GetPlan().GetPlan()) != c.want || got.GetOrderId() != "first" {
			t.Errorf("%s: %v", what, got)
		}
	}
	for _, from := range []string{"0", "101", "-1"} {
		m, s := &ripwrightv1.RunLineRequest{}, open(t, nil).stream(t)
		if err := protojson.Unmarshal([]byte(overlapping(from, ofStiles("first", 1), dear)), m); err != nil {
			t.Fatal(err)
		}
		m.Sequence = 1
		if err := s.Send(m); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); err == nil || !strings.Contains(err.Error(), "overlap_from_boards") {
			t.Errorf("from %s: %v", from, err)
		}
	}
}

// Strips of two orders that a stacker could mix are named with their orders.
func TestOverlapStacks(t *testing.T) {
	other := strings.Replace(strings.Replace(ofStiles("second", 90), "66.6", "66", 1), `"stack": "1"`, `"stack": "2"`, 1)
	s := open(t, nil).stream(t)
	s.say(strings.Replace(overlapping("1", ofStiles("first", 1), other), `"boards_in_flight"`, `"stack_threshold_mm": 2, "boards_in_flight"`, 1))
	w := s.say(board).GetPlan().GetStackWarnings()
	if len(w) != 1 || w[0].GetItemId() != "stile" || w[0].GetOrderId() != "" || w[0].GetOtherItemId() != "stile" || w[0].GetOtherOrderId() != "second" {
		t.Errorf("%v", w)
	}
}
