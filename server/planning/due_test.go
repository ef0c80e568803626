package planning

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Boards of 100, of which a saw without kerf takes at most two strips: ten strips of 60
// and ten of 40 take ten boards, three more if those of 40 are due within seven, and
// within four they are impossible; see TestDues of the solver.
const hundred = `"saw": {"kerf_mm": 0, "step_mm": 1, "min_gap_mm": 1, "edge_trim_mm": 0, "min_strip_width_mm": 1, "fence": {},
  "blades": [{"moving": {"max_mm": 500}}, {"moving": {"max_mm": 500}}]},
 "lumber": {"lots": [{"lot_id": "lot", "listed": {"boards": [{"board": {"length_mm": 1000, "near_edge_straight": true, "stations": [{"far_mm": 100}]}}]}}]},
 "objective": "PLAN_OBJECTIVE_BOARDS",
 "order": {"items": [{"item_id": "wide", "width_mm": 60, "required": {"pieces": 10}},
  {"item_id": "slim", "width_mm": 40, "required": {"pieces": 10}, "due_boards": 7}]}`

func TestPlanValuesDues(t *testing.T) {
	s := service()
	for due, want := range map[int]struct {
		cost  float64
		least int32
	}{0: {10, 0}, 7: {13, 0}, 4: {15, 5}} {
		m := &ripwrightv1.PlanValuesRequest{}
		if err := protojson.Unmarshal([]byte(`{`+strings.Replace(strings.Replace(hundred, `"due_boards": 7`, fmt.Sprintf(`"due_boards": %d`, due), 1), `, "due_boards": 0`, ``, 1)+`}`), m); err != nil {
			t.Fatal(err)
		}
		a, err := s.PlanValues(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(a.GetCost()-want.cost) > 1e-6 || math.Abs(a.GetBound()-want.cost) > 0.02 || !a.GetProven() || (a.GetWhole() != nil) != (due == 0) {
			t.Errorf("due %d: %v", due, a)
		}
		switch l := a.GetLate(); {
		case want.least == 0 && len(l) > 0:
			t.Errorf("due %d: late %v", due, l)
		case want.least > 0 && (len(l) != 1 || l[0].GetItemId() != "slim" || l[0].GetDueBoards() != int32(due) || l[0].GetMinBoards() != want.least):
			t.Errorf("due %d: late %v, want %d", due, l, want.least)
		}
	}
}

// A quote by planned values observes dues, and says how often they are kept.
func TestQuoteDues(t *testing.T) {
	s := service()
	m := &ripwrightv1.QuoteOrderRequest{}
	if err := protojson.Unmarshal([]byte(`{`+hundred+`, "simulations": 8, "compare": ["VALUE_CHOICE_YIELD"]}`), m); err != nil {
		t.Fatal(err)
	}
	a, err := s.QuoteOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	items := a.GetQuote().GetItems()
	if items[0].ByDue != nil || items[1].ByDue == nil || len(a.GetLate()) > 0 || math.Abs(a.GetBound()-13) > 0.2 {
		t.Errorf("%v", a)
	}
}

// More different dues than can be planned together are refused.
func TestManyDues(t *testing.T) {
	m := &ripwrightv1.PlanValuesRequest{}
	if err := protojson.Unmarshal([]byte(`{`+hundred+`}`), m); err != nil {
		t.Fatal(err)
	}
	for i := range 9 {
		it := &ripwrightv1.Item{ItemId: fmt.Sprint(i), Width: &ripwrightv1.Item_WidthMm{WidthMm: float64(20 + i)}, DueBoards: proto.Int32(int32(10 + i)),
			Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 3}}}
		m.Order.Items = append(m.Order.Items, it)
	}
	if _, err := service().PlanValues(t.Context(), m); status.Code(err) != codes.InvalidArgument || !strings.Contains(err.Error(), "10 different due_boards; at most 8") {
		t.Error(err)
	}
}
