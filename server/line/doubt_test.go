package line

import (
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

func measured(sequence int32, outcome, strip string) string {
	return confirmed(sequence, outcome, `, "strips": [{"item_id": "stile", `+strip+`}]`)
}

// Measured strips are checked against board, plan and order: the impossible is refused
// and leaves the board waiting, the unlikely is counted and named, on a resumed run too;
// and the operator of the service sets the thresholds.
func TestMeasuredStrips(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	if p := s.say(board).GetPlan(); len(p.GetPlan().GetPockets()) == 0 {
		t.Fatal("nothing is planned")
	}
	for strip, path := range map[string]string{
		`"width_mm": 66.6, "stretches": [{"length_mm": 2400}, {"length_mm": 101}]`: "confirmation.strips[0].stretches",
		`"width_mm": 88, "stretches": [{"length_mm": 2400}]`:                       "confirmation.strips[0].width_mm",
		`"width_mm": 50, "stretches": [{"length_mm": 2400}]`:                       "confirmation.strips[0].width_mm",
	} {
		a := s.say(measured(2, "AS_MEASURED", strip))
		if f := a.GetRefused().GetFaults(); len(f) == 0 || f[0].GetPath() != path || a.GetFills()[0].GetReserved().GetLengthM() == 0 {
			t.Errorf("%s: %v", strip, a)
		}
	}
	state := s.say(board).GetState()
	a := h.stream(t)
	a.resume(state)
	got := a.say(measured(2, "AS_MEASURED", `"width_mm": 64, "stretches": [{"length_mm": 2405}]`))
	d := got.GetSettled().GetDoubts()
	if !counted(got) || len(d) != 1 || d[0].GetKind() != ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_OFF_ITEM_WIDTH ||
		d[0].GetPath() != "confirmation.strips[0].width_mm" || d[0].GetSays() != `is 64; "stile" takes 66.6 mm, give or take 0.05 mm` {
		t.Errorf("%v", got)
	}
	strict := open(t, func(c *Config) {
		c.Against = run.Thresholds{RefuseWidth: unit.Millimetre, RefuseLength: unit.Millimetre}
	}).stream(t)
	strict.resume(state)
	if a := strict.say(measured(2, "AS_MEASURED", `"width_mm": 64, "stretches": [{"length_mm": 2405}]`)); len(a.GetRefused().GetFaults()) != 2 {
		t.Errorf("by a stricter service: %v", a)
	}
}

// ConfirmCut checks strips against board and order as well.
func TestMeasuredStripsOfOneBoard(t *testing.T) {
	h := open(t, nil)
	confirm := func(id, strip string) (*ripwrightv1.ConfirmCutResponse, error) {
		m := &ripwrightv1.ConfirmCutRequest{}
		if err := protojson.Unmarshal([]byte(`{"confirmation_id": "`+id+`", "saw_name": "heron", "outcome": "CUT_OUTCOME_AS_MEASURED",
		  "board": {"length_mm": 2400, "stations": [{"far_mm": 240}]}, "order": `+items+`, "strips": [{`+strip+`}]}`), m); err != nil {
			t.Fatal(err)
		}
		return h.client.ConfirmCut(t.Context(), m)
	}
	a, err := confirm("one", `"item_id": "stile", "width_mm": 65, "stretches": [{"length_mm": 2411}]`)
	if err != nil || len(a.GetDoubts()) != 2 || a.GetDoubts()[0].GetPath() != "strips[0].stretches" {
		t.Errorf("%v %v", a, err)
	}
	if _, err := confirm("two", `"item_id": "stile", "width_mm": 90, "stretches": [{"length_mm": 2400}]`); err == nil || !strings.Contains(err.Error(), "strips[0].width_mm") {
		t.Errorf("an impossible width: %v", err)
	}
}

// An item of one name keeps its width unless its count starts afresh.
func TestItemChangesWidth(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(setUp)
	s.say(board)
	change := func(width, more string) string {
		return `{"order_change": {"order": ` + strings.Replace(strings.Replace(items, "66.6", width, 1), `, "made": {"length_m": 31.5}`, "", 1) + more + `}}`
	}
	a := s.say(change("66.6", ""))
	fill(t, "the same width", a, 31.5, 4.8, 120-31.5-4.8)
	a = s.say(change("70", ""))
	if f := a.GetRefused().GetFaults(); len(f) != 1 || f[0].GetPath() != "order_change.order.items[0].width_mm" {
		t.Fatalf("another width: %v", a)
	}
	a = s.say(change("70", `, "begin_anew": ["stile", "rail", "stile"]`))
	if f := a.GetRefused().GetFaults(); len(f) != 2 || f[0].GetPath() != "order_change.begin_anew[1]" || f[1].GetPath() != "order_change.begin_anew[2]" {
		t.Fatalf("names that are not of the order, or twice: %v", a)
	}
	a = s.say(change("70", `, "begin_anew": ["stile"]`))
	fill(t, "begun anew", a, 0, 0, 120)
	a = s.say(asPlan + `2}}`)
	fill(t, "a board of before", a, 0, 0, 120)
	if !counted(a) {
		t.Error(a)
	}
	if sum := s.say(`{"end": {}}`).GetSummary(); len(sum.GetItems()) != 1 || sum.GetItems()[0].GetStrips() != 2 {
		t.Errorf("%v", sum)
	}
}
