package orders

import (
	"math"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/testdata/raced"
	"github.com/ripwright/ripwright/testdata/written"
)

// A simulation of a quote is what a line takes that has the same boards, and is told
// the same beforehand: the two share nothing but the planning of values.
func TestSimulationIsACut(t *testing.T) {
	raced.Skip(t)
	line, planning := serveBoth(t)
	for _, i := range []int{0, 3, 5, 7, 9, 13, 16} {
		k := kinds[i]
		k.boards = min(k.boards, 60)
		const seed = 11
		s, order, lots := k.draw(seed)
		m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: s}, Order: order, Lumber: written.Lots(lots),
			Simulations: proto.Int32(1), TimeLimitMs: proto.Float64(3_600_000)}
		m.Lumber.Seed = seed
		q, err := planning.QuoteOrder(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		p := &quote.Problem{Lots: lots}
		up := &ripwrightv1.LineSetUp{RunId: "same", SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: s}, Options: everyItem, Order: order, ValuePlanning: &ripwrightv1.ValuePlanning{}}
		for _, b := range quote.Told(p, seed, 0) {
			up.ValuePlanning.Expected = append(up.ValuePlanning.Expected, written.Board("", &b))
		}
		o, err := cut(t.Context(), line, up, of(quote.Boards(p, seed, 0, 10*k.boards)))
		if err != nil {
			t.Fatalf("%s: %v", k.name, err)
		}
		a := q.GetQuote()
		for j, v := range []float64{float64(o.boards), o.face, o.strip / o.face, o.hours} {
			want := []*ripwrightv1.Estimate{a.GetBoards(), a.GetFaceM2(), a.GetYieldRatio(), a.GetSawHours()}[j].GetMean()
			if math.Abs(v-want) > 1e-9*want {
				t.Errorf("%s: %s: simulated %v, cut %v", k.name, []string{"boards", "face", "yield", "hours"}[j], want, v)
			}
		}
	}
}
