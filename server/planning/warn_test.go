package planning

import (
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Quotes and planning warn of an item in pieces without a piece length; each interval
// gives its level and its number of simulations.
func TestStripsAsPieces(t *testing.T) {
	m := mill()
	q, err := service().QuoteOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if len(q.GetWarnings()) != 0 {
		t.Errorf("%v", q.GetWarnings())
	}
	for _, e := range []*ripwrightv1.Estimate{q.GetQuote().GetBoards(), q.GetQuote().GetCost(), q.GetQuote().GetItems()[1].GetMade()} {
		if e.GetLevel() != 0.9 || e.GetTrials() != 5 {
			t.Errorf("%v", e)
		}
	}
	m.Order.Items[3].PieceLengthMm, m.Level, m.Simulations = nil, proto.Float64(0.8), proto.Int32(1)
	if q, err = service().QuoteOrder(t.Context(), m); err != nil {
		t.Fatal(err)
	}
	if e := q.GetQuote().GetBoards(); e.GetLevel() != 0 || e.GetTrials() != 1 {
		t.Errorf("an interval of one simulation: %v", e)
	}
	v, err := service().PlanValues(t.Context(), &ripwrightv1.PlanValuesRequest{SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: m.GetSaw()}, Order: m.Order, Lumber: m.Lumber})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range [][]*ripwrightv1.Warning{q.GetWarnings(), v.GetWarnings()} {
		if len(w) != 1 || w[0].GetKind() != ripwrightv1.WarningKind_WARNING_KIND_STRIPS_AS_PIECES || w[0].GetPath() != "order.items[3].required.pieces" {
			t.Errorf("%v", w)
		}
	}
}
