package planning

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/brief"
)

// shop asks for strips of two widths in two orders, from three lots: two alike at two
// prices, and one that is dear and narrow.
func shop() *ripwrightv1.QuoteOrderRequest {
	m := mill()
	m.Order.OrderId, m.Simulations = "first", proto.Int32(19)
	m.MoreOrders = []*ripwrightv1.CutOrder{{OrderId: "second", Items: []*ripwrightv1.Item{
		{ItemId: "40", Width: &ripwrightv1.Item_WidthMm{WidthMm: 50}, MinLengthMm: 400, Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 25}}}}}}
	lot := m.Lumber.Lots[0]
	m.Lumber.Lots = nil
	for i, price := range []float64{2500, 3000, 9000} {
		l := proto.CloneOf(lot)
		l.LotId, l.PricePerMbf = []string{"cheap", "usual", "dear"}[i], &price
		m.Lumber.Lots = append(m.Lumber.Lots, l)
	}
	m.Currency = "EUR"
	m.BuyList = &ripwrightv1.BuyList{Lots: []*ripwrightv1.LotStock{{LotId: "cheap", MaxBoards: proto.Int32(6), PackBoards: proto.Int32(4)}, {LotId: "dear", PackBoards: proto.Int32(10)}}}
	return m
}

// A buy list gives boards, board feet and money by lot, from the simulations, and they
// add up to the whole order's; no lot gives more boards than it has. It says which lot to
// leave and what one more pack of each would save.
func TestBuyList(t *testing.T) {
	brief.Skip(t)
	q, err := service().QuoteOrder(t.Context(), shop())
	if err != nil {
		t.Fatal(err)
	}
	if q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE || q.GetCurrency() != "EUR" {
		t.Fatalf("%v", q)
	}
	o := q.GetQuote()
	boards, feet, cost := 0.0, 0.0, 0.0
	for _, l := range o.GetLots() {
		boards, feet, cost = boards+l.GetBoards().GetMean(), feet+l.GetBoardFeet().GetMean(), cost+l.GetCost().GetMean()
		if e := l.GetCost(); e.GetLower() > e.GetMean() || e.GetUpper() < e.GetMean() || e.GetLevel() != 0.9 || e.GetTrials() != 19 {
			t.Errorf("%s: %v", l.GetLotId(), e)
		}
	}
	if math.Abs(boards-o.GetBoards().GetMean()) > 1e-9*boards || math.Abs(feet-o.GetBoardFeet().GetMean()) > 1e-9*feet || math.Abs(cost-o.GetCost().GetMean()) > 1e-9*cost {
		t.Errorf("lots come to %v boards, %v board feet and %v, all to %v", boards, feet, cost, o)
	}
	cheap, usual, dear := o.GetLots()[0], o.GetLots()[1], o.GetLots()[2]
	if cheap.GetBoards().GetUpper() > 6 || cheap.GetBoards().GetMean() < 5 || usual.GetBoards().GetMean() < 1 || dear.GetBoards().GetUpper() > 0 {
		t.Errorf("%v", o.GetLots())
	}
	if per := usual.GetCost().GetMean() / usual.GetBoardFeet().GetMean(); math.Abs(per-3) > 1e-9 {
		t.Errorf("the usual lot costs %v a board foot", per)
	}
	u := q.GetLots()
	if u[0].GetLeave() || u[1].GetLeave() || !u[2].GetLeave() || u[2].GetLeavingCosts() != 0 || u[1].GetLeavingCosts() <= 0 || u[0].GetLeavingCosts() <= 0 {
		t.Errorf("%v", u)
	}
	// As long as the usual lot supplies the rest, every board of the cheap one saves the
	// same: four more save what six fewer cost.
	if s, l := u[0].GetPackSaves()/4, u[0].GetLeavingCosts()/6; s <= 0 || math.Abs(s-l) > 2e-3*s || u[1].PackSaves != nil || u[2].GetPackSaves() != 0 || u[2].PackSaves == nil {
		t.Errorf("a board more saves %v, one fewer costs %v; %v", s, l, u)
	}
	names := ""
	for _, it := range o.GetItems() {
		names += it.GetItemId() + " "
	}
	if names != "40 50 70 90 second/40 " {
		t.Error(names)
	}
	again, err := service().QuoteOrder(t.Context(), shop())
	if err != nil {
		t.Fatal(err)
	}
	if again.SolveTimeUs = q.SolveTimeUs; !proto.Equal(again, q) {
		t.Error("the same request has another answer")
	}
}

// If there are too few boards the simulations say so, and no lot's worth is given.
func TestBuyListRunsShort(t *testing.T) {
	m := shop()
	runs := int32(brief.Fewer(19))
	m.Simulations = &runs
	m.BuyList.Lots = append(m.BuyList.Lots, &ripwrightv1.LotStock{LotId: "usual", MaxBoards: proto.Int32(2)})
	m.BuyList.Lots[1].MaxBoards = proto.Int32(1)
	q, err := service().QuoteOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_UNFINISHED || q.GetQuote().GetUnfinished() != runs || q.GetQuote().GetLots() != nil || q.GetLots()[0].PackSaves != nil {
		t.Errorf("%v", q)
	}
}

func TestBuyListFaults(t *testing.T) {
	for path, spoil := range map[string]func(m *ripwrightv1.QuoteOrderRequest){
		"buy_list.lots[0].lot_id":      func(m *ripwrightv1.QuoteOrderRequest) { m.BuyList.Lots[0].LotId = "other" },
		"buy_list.lots[1].lot_id":      func(m *ripwrightv1.QuoteOrderRequest) { m.BuyList.Lots[1].LotId = "cheap" },
		"buy_list.lots[0].max_boards":  func(m *ripwrightv1.QuoteOrderRequest) { m.BuyList.Lots[0].MaxBoards = proto.Int32(0) },
		"buy_list.lots[0].pack_boards": func(m *ripwrightv1.QuoteOrderRequest) { m.BuyList.Lots[0].PackBoards = proto.Int32(-1) },
		"buy_list":                     func(m *ripwrightv1.QuoteOrderRequest) { m.Order.Items[0].DueBoards = proto.Int32(9) },
		"objective":                    func(m *ripwrightv1.QuoteOrderRequest) { m.Objective = ripwrightv1.PlanObjective_PLAN_OBJECTIVE_FACE },
		"more_orders[0].order_id":      func(m *ripwrightv1.QuoteOrderRequest) { m.MoreOrders[0].OrderId = "" },
		"more_orders[0].items[0].width_mm": func(m *ripwrightv1.QuoteOrderRequest) {
			m.MoreOrders[0].Items[0].Width = &ripwrightv1.Item_WidthMm{WidthMm: -1}
		},
		"more_orders[1].items[0].item_id": func(m *ripwrightv1.QuoteOrderRequest) { m.MoreOrders = append(m.MoreOrders, m.MoreOrders[0]) },
		"more_orders":                     func(m *ripwrightv1.QuoteOrderRequest) { m.MoreOrders = make([]*ripwrightv1.CutOrder, 21) },
		"currency":                        func(m *ripwrightv1.QuoteOrderRequest) { m.Currency = "groats and pence" },
		"lumber.lots[1].price_per_mbf":    func(m *ripwrightv1.QuoteOrderRequest) { m.Lumber.Lots[1].PricePerMbf = nil },
		"lumber.lots[0].spread.defects[0].kind": func(m *ripwrightv1.QuoteOrderRequest) {
			m.Lumber.Lots[0].GetSpread().Defects = []*ripwrightv1.DefectRate{{PerM2: 1, MinLengthMm: 10, MaxLengthMm: 20, MinWidthMm: 10, MaxWidthMm: 20}}
		},
	} {
		m := shop()
		spoil(m)
		if _, err := service().QuoteOrder(t.Context(), m); err == nil || !strings.Contains(err.Error(), path+" ") {
			t.Errorf("%s: %v", path, err)
		}
	}
}

// Boards of a spread have the defects that it gives, so that crosscut pieces can be
// quoted without boards: the more knots, the more lumber.
func TestSpreadWithDefects(t *testing.T) {
	brief.Skip(t)
	last := 0.0
	for _, rate := range []float64{0, 4, 12} {
		m := mill()
		m.Simulations = proto.Int32(19)
		m.Order.Items = nil
		for i, w := range []float64{50, 70} {
			m.Order.Items = append(m.Order.Items, &ripwrightv1.Item{ItemId: fmt.Sprint(i), Width: &ripwrightv1.Item_WidthMm{WidthMm: w},
				Crosscut: &ripwrightv1.Crosscut{KerfMm: 4, Lengths: []*ripwrightv1.CutLength{{LengthMm: 500, Required: proto.Int32(30)}, {LengthMm: 900, Required: proto.Int32(20)}}}})
		}
		if rate > 0 {
			m.Lumber.Lots[0].GetSpread().Defects = []*ripwrightv1.DefectRate{{Kind: "knot", PerM2: rate, MinLengthMm: 20, MaxLengthMm: 60, MinWidthMm: 15, MaxWidthMm: 40}}
		}
		q, err := service().QuoteOrder(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		if b := q.GetQuote().GetFaceM2().GetMean(); b < 1.05*last || b == 0 {
			t.Errorf("%v knots a square metre: %v m2, with fewer %v", rate, b, last)
		} else {
			last = b
		}
	}
}

// The server's currency holds if the request gives none.
func TestCurrency(t *testing.T) {
	s := service()
	s.cfg.Currency = "NOK"
	m := mill()
	q, err := s.QuoteOrder(t.Context(), m)
	if err != nil || q.GetCurrency() != "NOK" {
		t.Errorf("%q %v", q.GetCurrency(), err)
	}
	v, err := s.PlanValues(t.Context(), &ripwrightv1.PlanValuesRequest{SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: m.GetSaw()}, Order: m.Order, Lumber: m.Lumber, Currency: "SEK"})
	if err != nil || v.GetCurrency() != "SEK" {
		t.Errorf("%q %v", v.GetCurrency(), err)
	}
}
