package trial

import (
	"context"
	"math"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A higher price of saw time buys shorter cycles: as it rises, the plan's cycle gets no
// longer and its worth no greater, and the proof is of what is left. The plan at the
// highest price is no better at the lowest, by CheckPlan's count too.
func TestPriceOfSawTime(t *testing.T) {
	h := open(t)
	var before, first *ripwrightv1.SolveBoardResponse
	for _, price := range []float64{0, 30, 300, 3000, 1e6} {
		m := goodSolve(t)
		m.Options = &ripwrightv1.SolveOptions{PricePerSawHour: price}
		m.GetSaw().PositioningMmPerS = proto.Float64(20)
		m.GetSaw().MaxSkewMmPerM = 0
		a, err := h.rpc.SolveBoard(context.Background(), m)
		if err != nil {
			t.Fatal(err)
		}
		cost := price / 3600 * a.GetCycle().GetTotalS()
		if near := func(a, b float64) bool { return math.Abs(a-b) < 1e-6*max(1, math.Abs(b)) }; !near(a.GetCycle().GetCost(), cost) ||
			!near(a.GetProof().GetWorth(), a.GetPlan().GetWorth()-cost) || !near(a.GetProof().GetBound(), a.GetProof().GetWorth()) || !a.GetProof().GetProven() {
			t.Errorf("at %g an hour: worth %g, cycle %v, proof %v", price, a.GetPlan().GetWorth(), a.GetCycle(), a.GetProof())
		}
		if before != nil && (a.GetCycle().GetTotalS() > before.GetCycle().GetTotalS() || a.GetPlan().GetWorth() > before.GetPlan().GetWorth()) {
			t.Errorf("at %g an hour: %g s and worth %g after %g s and %g", price, a.GetCycle().GetTotalS(), a.GetPlan().GetWorth(),
				before.GetCycle().GetTotalS(), before.GetPlan().GetWorth())
		}
		if before = a; first == nil {
			first = a
		}
	}
	if before.GetCycle().GetTotalS() == first.GetCycle().GetTotalS() {
		t.Error("the price changes nothing here")
	}
	check := goodCheck(t)
	check.Options = &ripwrightv1.SolveOptions{PricePerSawHour: 30}
	check.GetSaw().PositioningMmPerS = proto.Float64(20)
	check.GetSaw().MaxSkewMmPerM = 0
	check.Setting = before.GetPlan().GetSetting()
	c, err := h.rpc.CheckPlan(context.Background(), check)
	if err != nil {
		t.Fatal(err)
	}
	if c.GetDistance() <= 0 || len(c.GetBrokenRules()) > 0 {
		t.Errorf("distance %g, broken %v", c.GetDistance(), c.GetBrokenRules())
	}
}
