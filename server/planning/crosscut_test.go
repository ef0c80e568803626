package planning

import (
	"fmt"
	"math"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// crosscut poses an instance along the board: the stock is a board that gives one strip,
// and its widths are the lengths to which the strip is crosscut. It is false for an
// instance that an item cannot hold.
func (c *instance) crosscut() (*ripwrightv1.PlanValuesRequest, bool) {
	u := 10.0
	if c.Stock > 1000 {
		u = 1
	}
	zero := 0.0
	m := &ripwrightv1.PlanValuesRequest{
		SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: &ripwrightv1.Saw{KerfMm: &zero, StepMm: 1, MinGapMm: 20, MinStripWidthMm: 20, EdgeTrimMm: &zero,
			Fence:  &ripwrightv1.Travel{},
			Blades: []*ripwrightv1.Blade{{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: 50}}}}},
		Order: &ripwrightv1.CutOrder{}, RelativeGap: proto.Float64(1e-9), Objective: ripwrightv1.PlanObjective_PLAN_OBJECTIVE_BOARDS,
	}
	b := &ripwrightv1.Board{LengthMm: float64(c.Stock) * u, NearEdgeStraight: true, Stations: []*ripwrightv1.Station{{FarMm: 50}}}
	m.Lumber = &ripwrightv1.Lumber{Lots: []*ripwrightv1.Lot{{Source: &ripwrightv1.Lot_Listed{
		Listed: &ripwrightv1.ListedBoards{Boards: []*ripwrightv1.CountedBoard{{Board: b}}}}}}}
	it := &ripwrightv1.Item{ItemId: "strip", Width: &ripwrightv1.Item_WidthMm{WidthMm: 50}, Crosscut: &ripwrightv1.Crosscut{}}
	for i, w := range c.Widths {
		n := int32(c.Pieces[i])
		it.Crosscut.Lengths = append(it.Crosscut.Lengths, &ripwrightv1.CutLength{LengthMm: float64(w) * u, Required: &n})
		if float64(w)*u < 20 {
			return nil, false
		}
	}
	m.Order.Items = []*ripwrightv1.Item{it}
	return m, len(c.Widths) <= 32
}

// Published cutting-stock problems, their stock cut to length: the least boards by parts
// are the published ones, and so is the number of whole boards.
func TestCrosscutStock(t *testing.T) {
	tried := 0
	for _, c := range instances(t) {
		m, fits := c.crosscut()
		if !fits {
			continue
		}
		tried++
		t.Run(c.Source, func(t *testing.T) {
			got, err := service().PlanValues(t.Context(), m)
			if err != nil {
				t.Fatal(err)
			}
			lp := c.LP
			if c.Beyond > 0 { // a board may have more of a length than is wanted in all
				lp = c.Beyond
			}
			if !got.Proven || math.Abs(got.GetCost()-lp) > 1e-6 || math.Abs(got.GetBound()-lp) > 1e-6 {
				t.Errorf("cost %v, bound %v, proven %v; want %v", got.Cost, got.Bound, got.Proven, lp)
			}
			if w := got.GetWhole(); !w.GetFilled() || w.GetBoards() < c.Boards || c.RoundsUp && w.GetBoards() != c.Boards {
				t.Errorf("whole: %d boards, filled %v, proven %v; want %d", w.GetBoards(), w.GetFilled(), w.GetProven(), c.Boards)
			}
		})
	}
	if tried < 5 {
		t.Errorf("%d instances tried", tried)
	}
}

// A quote counts each length separately. A board gives two pieces of 1100 mm, or three of
// 700, or one of each: 20 and 9 take 10 and 3 boards.
func TestQuoteOfLengths(t *testing.T) {
	c := instance{Stock: 240, Widths: []int64{110, 70}, Pieces: []int64{20, 9}}
	v, _ := c.crosscut()
	m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: v.GetSaw()}, Order: v.Order, Lumber: v.Lumber,
		Objective: v.Objective, Simulations: proto.Int32(3),
		Compare: []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD}}
	q, err := service().QuoteOrder(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(q.GetBound()-13) > 0.02 {
		t.Errorf("bound %v", q.Bound)
	}
	if len(q.Others) != 1 || q.Result != ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE {
		t.Errorf("%d other ways, %v", len(q.Others), q.Result)
	}
	for _, o := range append(q.Others, q.Quote) {
		if o.Boards.Lower != 13 || o.Boards.Upper != 13 || len(o.Items) != 2 {
			t.Errorf("%v", o)
			continue
		}
		for i, want := range []struct{ length, made float64 }{{1100, 20}, {700, 9}} {
			it := o.Items[i]
			if it.ItemId != "strip" || it.GetLengthMm() != want.length || it.Made.Lower < want.made || it.FilledAtBoard.Upper > 13 || it.Fill[9] != 1 {
				t.Errorf("%v: %v", o.Values, it)
			}
		}
	}
	m.Values = ripwrightv1.ValueChoice_VALUE_CHOICE_OWN
	if _, err := service().QuoteOrder(t.Context(), m); faultsOf(err) != "order.items[0].crosscut.lengths[0].value order.items[0].crosscut.lengths[1].value" {
		t.Error(err)
	}
	m.Values = ripwrightv1.ValueChoice_VALUE_CHOICE_PLANNED
	// A length that no board has is named, and the other is quoted.
	m.Order.Items[0].Crosscut.Lengths[0].LengthMm = 2500
	if q, err = service().QuoteOrder(t.Context(), m); err != nil {
		t.Fatal(err)
	}
	if len(q.Impossible) != 1 || q.Impossible[0].Reason != ripwrightv1.ImpossibleReason_IMPOSSIBLE_REASON_TOO_LONG ||
		q.Result != ripwrightv1.PlanningResult_PLANNING_RESULT_WITHOUT_IMPOSSIBLE || q.Impossible[0].GetLengthMm() != 2500 || q.Quote.Boards.Lower != 3 {
		t.Errorf("%v", q)
	}
}

// Defects cost boards unless an item allows them, and an infeed that can set a skew saves
// boards if all of them lie askew.
func TestQuoteSeesDefectsAndSkew(t *testing.T) {
	boards := func(defect bool, accepts []string, taper, skew float64) float64 {
		b := &ripwrightv1.Board{LengthMm: 2000, Stations: []*ripwrightv1.Station{{FarMm: 114}, {XMm: 2000, NearMm: taper, FarMm: 114 + taper}}}
		if defect {
			b.Defects = []*ripwrightv1.Defect{{FromXMm: 900, ToXMm: 1000, FromYMm: 0, ToYMm: 130, Kind: "split"}}
		}
		s := &ripwrightv1.Saw{KerfMm: proto.Float64(4), StepMm: 1, MinGapMm: 20, MinStripWidthMm: 20, Fence: &ripwrightv1.Travel{MaxMm: 100}, MaxSkewMmPerM: skew}
		for _, a := range []float64{100, 154, 208} {
			s.Blades = append(s.Blades, &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: a}})
		}
		m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: s}, Simulations: proto.Int32(1),
			Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "a", Width: &ripwrightv1.Item_WidthMm{WidthMm: 50}, MinLengthMm: 400, Accepts: accepts,
				Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 40}}}}},
			Lumber: &ripwrightv1.Lumber{Lots: []*ripwrightv1.Lot{{Source: &ripwrightv1.Lot_Listed{
				Listed: &ripwrightv1.ListedBoards{Boards: []*ripwrightv1.CountedBoard{{Board: b}}}}}}}}
		q, err := service().QuoteOrder(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		if n := q.GetQuote().GetUnfinished(); n > 0 {
			t.Errorf("%v", fmt.Sprint(q))
		}
		return q.GetQuote().GetBoards().GetMean()
	}
	// 114 mm less 2 x 4 mm of trim are two strips of 50 mm and three kerfs, less 8 mm of
	// kerf in the trim: 4 m a board.
	for _, c := range []struct {
		what    string
		defect  bool
		accepts []string
		taper   float64
		skew    float64
		want    float64
	}{
		{"clear", false, nil, 0, 0, 10},
		{"a split across", true, nil, 0, 0, 11}, // 3.8 m a board
		{"a split that is taken", true, []string{"split"}, 0, 0, 10},
		// 2 mm more than both strips need, on a slant of 10 mm a metre: 200 mm have room
		// for both, and the rest of the board for one, 2.2 m in all.
		{"askew by 20 mm", false, nil, 20, 0, 19},
		{"askew, turned back", false, nil, 20, 10, 10},
	} {
		if got := boards(c.defect, c.accepts, c.taper, c.skew); got != c.want {
			t.Errorf("%s: %v boards, want %v", c.what, got, c.want)
		}
	}
}
