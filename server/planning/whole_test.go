package planning

import (
	"math"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Worked out by hand: 24 m of strips from boards of 2.4 m that give one each take ten; with
// a quarter as scrap 30 m are made, from twelve and a half by parts and thirteen in whole.
func TestWholeBoardsWithScrap(t *testing.T) {
	m := mill()
	m.Order.Items = []*ripwrightv1.Item{{ItemId: "a", Width: &ripwrightv1.Item_WidthMm{WidthMm: 50},
		Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 24}}}}
	m.Lumber.Lots[0].Source = &ripwrightv1.Lot_Tagged{Tagged: &ripwrightv1.PackTag{ThicknessMm: proto.Float64(25),
		Rows: []*ripwrightv1.TagRow{{WidthMm: 70, LengthMm: 2400}}}}
	for scrap, want := range map[float64]int32{0: 10, 0.25: 13} {
		m.Scrap = nil
		if scrap > 0 {
			m.Scrap = []*ripwrightv1.ScrapAllowance{{ItemId: "a", Fraction: scrap}}
		}
		q, err := service().QuoteOrder(t.Context(), m)
		if err != nil || q.WholeBoards == nil || q.GetWholeBoards() != want {
			t.Errorf("with a scrap of %v: %d whole boards, want %d; %v", scrap, q.GetWholeBoards(), want, err)
		}
	}
}

// Worked out by hand: a board of 2400 x 70 mm, 25 mm thick, gives one strip of 50 mm and
// so four pieces of 600 mm. Ten pieces take two and a half boards by parts, three in
// whole, and three as a line cuts them. A board's face is 0.168 m2; at 3000 a thousand
// board feet it costs 3 x 0.168 x 0.025 x 423.776 = 5.3396 (1 m3 is 423.776 board feet).
func TestWholeBoardsOfAQuote(t *testing.T) {
	const face = 2.4 * 0.07
	for objective, each := range map[ripwrightv1.PlanObjective]float64{
		ripwrightv1.PlanObjective_PLAN_OBJECTIVE_BOARDS: 1,
		ripwrightv1.PlanObjective_PLAN_OBJECTIVE_FACE:   face,
		ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST:   3 * face * 0.025 * 423.776000657863,
	} {
		m := mill()
		m.Objective = objective
		m.Order.Items = []*ripwrightv1.Item{{ItemId: "a", Width: &ripwrightv1.Item_WidthMm{WidthMm: 50},
			PieceLengthMm: proto.Float64(600), Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 10}}}}
		m.Lumber.Lots[0].Source = &ripwrightv1.Lot_Tagged{Tagged: &ripwrightv1.PackTag{ThicknessMm: proto.Float64(25),
			Rows: []*ripwrightv1.TagRow{{WidthMm: 70, LengthMm: 2400}}}}
		q, err := service().QuoteOrder(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		near := func(v, want float64) bool { return math.Abs(v-want) < 1e-5*want }
		if !near(q.GetCost(), 2.5*each) || !near(q.GetBound(), 2.5*each) || q.GetBound() > q.GetCost()*(1+1e-9) {
			t.Errorf("%s: cost %v, bound %v, want %v", objective, q.GetCost(), q.GetBound(), 2.5*each)
		}
		if q.WholeBoards == nil || q.GetWholeBoards() != 3 || !near(q.GetWholeCost(), 3*each) || q.GetQuote().GetBoards().GetMean() != 3 {
			t.Errorf("%s: %d whole boards for %v, want 3 for %v; simulated %v", objective, q.GetWholeBoards(), q.GetWholeCost(), 3*each, q.GetQuote().GetBoards())
		}
		// With two kinds of boards, or a due, there is none.
		m.Order.Items[0].DueBoards = proto.Int32(5)
		if q, err = service().QuoteOrder(t.Context(), m); err != nil || q.WholeBoards != nil || q.WholeCost != nil {
			t.Errorf("%s with a due: %v %v, %v", objective, q.WholeBoards, q.WholeCost, err)
		}
		m.Order.Items[0].DueBoards = nil
		m.Lumber.Lots[0].GetTagged().Rows = append(m.Lumber.Lots[0].GetTagged().Rows, &ripwrightv1.TagRow{WidthMm: 80, LengthMm: 2400})
		if q, err = service().QuoteOrder(t.Context(), m); err != nil || q.WholeBoards != nil || q.WholeCost != nil {
			t.Errorf("%s with two kinds of boards: %v %v, %v", objective, q.WholeBoards, q.WholeCost, err)
		}
	}
}
