package planning

import (
	"strings"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// plain asks for 40 m of one width from lots of equal boards.
func plain(lots ...string) *ripwrightv1.QuoteOrderRequest {
	m := mill()
	m.Order.Items = []*ripwrightv1.Item{{ItemId: "a", Width: &ripwrightv1.Item_WidthMm{WidthMm: 70}, Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 40}}}}
	m.Simulations, m.Lumber.Lots = proto.Int32(3), nil
	for _, id := range lots {
		m.Lumber.Lots = append(m.Lumber.Lots, &ripwrightv1.Lot{LotId: id, PricePerMbf: proto.Float64(3000),
			Source: &ripwrightv1.Lot_Tagged{Tagged: &ripwrightv1.PackTag{ThicknessMm: proto.Float64(26), Rows: []*ripwrightv1.TagRow{{WidthMm: 210, LengthMm: 2400}}}}})
	}
	return m
}

func quoted(t *testing.T, m *ripwrightv1.QuoteOrderRequest) *ripwrightv1.QuoteOrderResponse {
	t.Helper()
	q, err := service().QuoteOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// Of lots as good as each other the list buys one, and leaves the others: whoever leaves
// all lots that are to be left can still fill the order.
func TestLotsThatAreAlike(t *testing.T) {
	m := plain("one", "two", "three")
	m.BuyList = &ripwrightv1.BuyList{Lots: []*ripwrightv1.LotStock{{LotId: "three", MaxBoards: proto.Int32(3)}}}
	q := quoted(t, m)
	left := 0
	for i, l := range q.GetLots() {
		if bought := q.GetQuote().GetLots()[i].GetBoards().GetMean(); l.GetLeave() != (bought == 0) || l.GetLeave() != (l.GetBoards() == 0) {
			t.Errorf("%v, and %v boards are bought", l, bought)
		}
		if l.GetLeave() {
			left++
		}
	}
	if left != 2 {
		t.Errorf("%v", q.GetLots())
	}
}

// Where the lots have too few boards there is no cost, no bound, and no plan in whole
// boards, which knows nothing of stock; no lot gives more than it has.
func TestTooFewBoards(t *testing.T) {
	m := plain("one", "two")
	m.BuyList = &ripwrightv1.BuyList{Lots: []*ripwrightv1.LotStock{{LotId: "one", MaxBoards: proto.Int32(4)}}}
	if q := quoted(t, m); q.WholeBoards != nil || q.WholeCost != nil || q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE {
		t.Errorf("with a limited lot: %v", q)
	}
	m.BuyList.Lots = append(m.BuyList.Lots, &ripwrightv1.LotStock{LotId: "two", MaxBoards: proto.Int32(2)})
	q := quoted(t, m)
	if q.Cost != nil || q.Bound != nil || q.WholeBoards != nil || q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_UNFINISHED {
		t.Errorf("%v", q)
	}
	if l := q.GetLots(); l[0].GetBoards() > 4 || l[1].GetBoards() > 2 {
		t.Errorf("%v", l)
	}
}

// Warnings and scrap name items of further orders as the request and the answer do.
func TestItemsOfFurtherOrders(t *testing.T) {
	m := plain("one")
	m.MoreOrders = []*ripwrightv1.CutOrder{{OrderId: "second", Items: []*ripwrightv1.Item{{ItemId: "a", Width: &ripwrightv1.Item_WidthMm{WidthMm: 50},
		Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 20}}}}}}
	m.Scrap = []*ripwrightv1.ScrapAllowance{{ItemId: "second/a", Fraction: 0.5}}
	q := quoted(t, m)
	if w := q.GetWarnings(); len(w) != 1 || w[0].GetPath() != "more_orders[0].items[0].required.pieces" {
		t.Errorf("%v", w)
	}
	if made := q.GetQuote().GetItems()[1].GetMade(); made.GetLower() < 30 || made.GetUpper() > 34 {
		t.Errorf("with half as many again of 20: %v", made)
	}
}

// The greatest amount with the greatest scrap is more than anybody makes: the simulations
// end at max_boards. A number of boards that the answer cannot hold is left out.
func TestGreatestAmount(t *testing.T) {
	m := plain("one")
	m.Order.Items[0].Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 1e12}}
	m.Scrap, m.MaxBoards = []*ripwrightv1.ScrapAllowance{{ItemId: "a", Fraction: 10}}, proto.Int32(20)
	q := quoted(t, m)
	if q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_UNFINISHED || q.WholeBoards != nil {
		t.Errorf("%v", q)
	}
	v, err := service().PlanValues(t.Context(), &ripwrightv1.PlanValuesRequest{SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: m.GetSaw()}, Order: m.Order, Lumber: m.Lumber})
	if err != nil || v.Whole != nil || v.GetCost() < 1e11 {
		t.Errorf("%v, %v", v, err)
	}
}

// What is not known is absent: hours of a saw without a pace, lots of an order that there
// was no time to plan, and what it costs to leave a lot if that was not worked out.
func TestUnknownIsAbsent(t *testing.T) {
	m := plain("one", "two")
	m.Pace = nil
	if o := quoted(t, m).GetQuote(); o.SawHours != nil || o.Boards == nil {
		t.Errorf("without a pace: %v", o)
	}
	m.Pace = &ripwrightv1.SawPace{HandlingS: proto.Float64(9), ShiftHours: proto.Float64(8)}
	if o := quoted(t, m).GetQuote(); o.GetSawHours().GetMean() <= 0 || o.GetShifts().GetMean() <= 0 {
		t.Errorf("with a pace: %v", o)
	}
	m.TimeLimitMs = proto.Float64(1e-6)
	if q := quoted(t, m); q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED || q.GetLots() != nil || q.Cost != nil {
		t.Errorf("without time: %v", q)
	}
	v, err := service().PlanValues(t.Context(), &ripwrightv1.PlanValuesRequest{SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: m.GetSaw()}, Order: m.Order, Lumber: m.Lumber, TimeLimitMs: m.TimeLimitMs})
	if err != nil || v.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED || v.GetLots() != nil || v.Cost != nil {
		t.Errorf("without time: %v, %v", v, err)
	}

	m = plain("one", "two")
	m.BuyList, m.Lumber.Lots[1].PricePerMbf = &ripwrightv1.BuyList{}, proto.Float64(3100)
	in, err := service().readQuote(m)
	if err != nil {
		t.Fatal(err)
	}
	in.problem.Values.Lots = in.sampled()
	stop := false
	in.options.Values = values.Options{Gap: quoteGap, Stop: func() bool { return stop }}
	in.options.Ended = func(pl *values.Planner, plan *values.Plan, open []int64) {
		stop = true
		in.weigh(pl, plan, open)
	}
	r, err := quote.Solve(&in.problem, in.options)
	if err != nil {
		t.Fatal(err)
	}
	if in.buys[0].leaving != nil || in.buys[1].leaving == nil || !in.buys[1].leave || !strings.Contains(in.undone(r), "1 of 2 lots") {
		t.Errorf("%+v: %s", in.buys, in.undone(r))
	}
}

// An advice tells by how much another choice takes less, never by 0.
func TestAdviceTellsHowMuch(t *testing.T) {
	for v, want := range map[float64]string{0.0412: "0.04", 0.0006: "0.0006", 0.05: "0.1", 3.21: "3.2"} {
		if got := perCent(v); got != want {
			t.Errorf("%v: %s", v, got)
		}
	}
}

// Where there was no time to find out why an item is impossible, no reason is made up.
func TestReasonTakesTime(t *testing.T) {
	m := plain("one")
	m.GetSaw().Limits = &ripwrightv1.SawLimits{MaxWidthMm: proto.Float64(100)} // the boards are 210 mm wide
	in, err := service().readQuote(m)
	if err != nil {
		t.Fatal(err)
	}
	in.problem.Values.Lots = in.sampled()
	pl, err := values.New(&in.problem.Values)
	if err != nil {
		t.Fatal(err)
	}
	for stopped, want := range map[bool]ripwrightv1.ImpossibleReason{false: ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_BOARDS, true: ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_UNSPECIFIED} {
		got := impossible(pl, []int{0}, &values.Options{Stop: func() bool { return stopped }})
		if len(got) != 1 || got[0].GetReason() != want || got[0].GetSays() == "" {
			t.Errorf("stopped %v: %v", stopped, got)
		}
	}
}

// Suggestions that a limit left on a few of the boards say so: their worth is not to be
// compared with today's.
func TestSuggestionsOfFewBoards(t *testing.T) {
	in := &setting{}
	in.problem.Boards, in.options.Settings = make([]lumber.Kind, 20), 40
	r := &arbor.Result{Today: arbor.Scored{Boards: 20}, Best: []arbor.Scored{{Boards: 4}}}
	if says := in.undone(r); !strings.Contains(says, "suggestions were tried on 4 of 20 boards only") {
		t.Error(says)
	}
	r.Best[0].Boards = 20
	if says := in.undone(r); strings.Contains(says, "only") {
		t.Error(says)
	}
}

// A saw's name that is unknown has its place in the request, also where a quote is
// watched.
func TestUnknownSawOfAWatchedQuote(t *testing.T) {
	m := mill()
	m.SawChoice = &ripwrightv1.QuoteOrderRequest_SawName{SawName: "none"}
	if err := service().WatchQuote(&ripwrightv1.WatchQuoteRequest{Quote: m}, &watcher{ctx: t.Context()}); err == nil || !strings.Contains(err.Error(), "quote.saw_name: ") {
		t.Error(err)
	}
}

// With few simulations an interval is wider than what they took, but no lot gives more
// boards than it has.
func TestNoMoreBoardsThanStock(t *testing.T) {
	for _, most := range []int32{39, 42} {
		m := shop()
		m.Simulations, m.Level = proto.Int32(4), proto.Float64(0.99)
		m.BuyList.Lots = []*ripwrightv1.LotStock{{LotId: "cheap", MaxBoards: &most}}
		if b := quoted(t, m).GetQuote().GetLots()[0].GetBoards(); b.GetUpper() > float64(most) {
			t.Errorf("%v of %d boards", b, most)
		}
	}
}
