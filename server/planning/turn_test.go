package planning

import (
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/brief"
)

// A quote whose boards may be turned turns some, gives the cost of that, and takes no
// more boards than its bound; one without turns equals that of a saw without them.
func TestQuoteOfTurnedBoards(t *testing.T) {
	brief.Skip(t)
	m := mill()
	m.Simulations = proto.Int32(19) // of fewer the means are too far from what they would be
	m.Lumber.Lots[0].GetSpread().Defects = []*ripwrightv1.DefectRate{{Kind: "knot", PerM2: 3, MinLengthMm: 30, MaxLengthMm: 90, MinWidthMm: 15, MaxWidthMm: 40}}
	quote := func() *ripwrightv1.QuoteOrderResponse {
		a, err := service().QuoteOrder(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		a.SolveTimeUs, a.SawFingerprint = 0, ""
		return a
	}
	plain := quote()
	m.GetSaw().Turns = []*ripwrightv1.SawTurn{{Turn: ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END, Cost: 0.01}}
	if unasked := quote(); !proto.Equal(unasked, plain) {
		t.Errorf("without asking:\n%v\nof a saw without turns:\n%v", unasked, plain)
	}
	m.TurnBoards = true
	a := quote()
	o, was := a.GetQuote(), plain.GetQuote()
	if n := o.GetTurnedBoards().GetMean(); n <= 0 || n >= o.GetBoards().GetMean() || o.GetTurnCost().GetMean() < n*0.01-1e-9 || o.GetTurnCost().GetMean() > n*0.01+1e-9 {
		t.Errorf("%v turned, which costs %v, of %v boards", o.GetTurnedBoards(), o.GetTurnCost(), o.GetBoards())
	}
	if was.TurnedBoards != nil || was.TurnCost != nil {
		t.Errorf("unasked %v", was)
	}
	if o.GetFaceM2().GetMean() > 1.03*was.GetFaceM2().GetMean() || a.GetBound() > plain.GetBound()*(1+1e-3) {
		t.Errorf("%v m2 and a bound of %v where boards may be turned, %v and %v where not", o.GetFaceM2(), a.GetBound(), was.GetFaceM2(), plain.GetBound())
	}
	t.Logf("%.4g m2, %.4g where boards may be turned; %.3g of %.3g turned", was.GetFaceM2().GetMean(), o.GetFaceM2().GetMean(), o.GetTurnedBoards().GetMean(), o.GetBoards().GetMean())
}
