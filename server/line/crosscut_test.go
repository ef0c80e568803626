package line

import (
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Values are planned by the required number of each crosscut length: an amount given as
// well is refused by its field, at the set-up and with an order change; without planning
// it is used.
func TestRequiredBesideLengths(t *testing.T) {
	const lengths = `{"order_id": "o1", "items": [{"item_id": "door", "width_mm": 66.6, AMOUNT
	  "crosscut": {"lengths": [{"length_mm": 700, "value": 1, "required": 40}]}}]}`
	of := func(amount string) string { return strings.Replace(lengths, "AMOUNT", amount, 1) }
	const both = `"required": {"length_m": 4},`
	up := func(planning, order string) string {
		return `{"set_up": {"run_id": "r1", "saw_name": "heron", ` + planning + `"order": ` + order + `}}`
	}
	h := open(t, nil)
	refused, err := h.client.RunLine(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	m := &ripwrightv1.RunLineRequest{Sequence: 1}
	if err := protojson.Unmarshal([]byte(strings.Replace(up(`"value_planning": {}, `, of(both)), `{"set_up"`, `{"sequence": 1, "set_up"`, 1)), m); err != nil {
		t.Fatal(err)
	}
	if err := refused.Send(m); err != nil {
		t.Fatal(err)
	}
	if _, err := refused.Recv(); status.Code(err) != codes.InvalidArgument || !strings.Contains(err.Error(), "order.items[0].required") {
		t.Errorf("at the set-up: %v", err)
	}
	s := h.stream(t)
	if a := s.say(up(`"value_planning": {}, `, of(""))); a.GetStarted() == nil {
		t.Fatal(a)
	}
	a := s.say(`{"order_change": {"order": ` + of(both) + `}}`)
	if f := a.GetRefused().GetFaults(); len(f) != 1 || f[0].GetPath() != "order_change.order.items[0].required" {
		t.Errorf("with an order change: %v", a)
	}
	plain := h.stream(t)
	plain.say(up("", of(both)))
	if a := plain.say(board); a.GetPlan().GetPlan().GetWorth() == 0 || !a.GetOrderFull() {
		t.Errorf("without planning: %v", a)
	}
}
