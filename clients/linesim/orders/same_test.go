package orders

import (
	"fmt"
	"math"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/testdata/brief"
	"github.com/ripwright/ripwright/testdata/written"
)

// A simulation of a quote equals a line with the same boards, announced in the same way:
// the two share only the planning of values. So a cut takes more than a simulation as
// often as less.
func TestSimulationIsACut(t *testing.T) {
	brief.Skip(t)
	line, planning := serveBoth(t)
	for _, i := range []int{0, 3, 5, 7, 9, 10, 11, 13, 16, 19} {
		k := kinds[i]
		k.boards = min(k.boards, 60)
		const seed = 11
		s, order, lots := k.draw(seed)
		m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: s}, Order: order, Lumber: written.Lots(lots), Values: k.values,
			Simulations: proto.Int32(1), TimeLimitMs: proto.Float64(mostTime)}
		if m.Lumber.Seed = seed; k.cost {
			m.Objective = ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST
		}
		q, err := planning.QuoteOrder(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		came, told := simulated(lots, q.GetLots(), seed, 10*k.boards)
		up := &ripwrightv1.LineSetUp{RunId: "same", SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: s}, Options: everyItem, Order: valued(order, k.values)}
		if k.values == ripwrightv1.ValueChoice_VALUE_CHOICE_UNSPECIFIED {
			up.ValuePlanning = &ripwrightv1.ValuePlanning{Expected: told}
		}
		o, err := cut(t.Context(), line, up, came)
		if err != nil {
			t.Fatalf("%s: %v", k.name, err)
		}
		a := q.GetQuote()
		for j, v := range []float64{float64(o.boards), o.fee, o.face, o.strip / o.face, o.hours} {
			want := []*ripwrightv1.Estimate{a.GetBoards(), a.GetCost(), a.GetFaceM2(), a.GetYieldRatio(), a.GetSawHours()}[j].GetMean()
			if math.Abs(v-want) > 1e-9*want {
				t.Errorf("%s: %s: cut %v, want %v as simulated", k.name, []string{"boards", "cost", "face", "yield", "hours"}[j], want, v)
			}
		}
	}
}

// simulated gives the boards of the first simulation of a quote, no more than most, and
// those announced to it beforehand.
func simulated(lots []lumber.Lot, plan []*ripwrightv1.LotUse, seed uint64, most int) (came supply, told []*ripwrightv1.Board) {
	shares := make([]float64, len(plan))
	for i, u := range plan {
		shares[i] = u.GetBoards()
	}
	stream := func(n uint64) supply {
		r := lumber.Random(seed, n)
		if len(lots) > 1 {
			return drawer(lots, shares, r)
		}
		return func(i int) (*ripwrightv1.Board, float64, bool) {
			b := lots[0].From.Draw(r)
			return written.Board(fmt.Sprint(i), &b), lumber.BoardFeet(&b) * float64(lots[0].Price) / 1e6, true
		}
	}
	next := stream(ofTold)
	for i := range replan.MaxBoards {
		b, _, _ := next(i)
		told = append(told, b)
	}
	run := stream(ofRun)
	return func(i int) (*ripwrightv1.Board, float64, bool) {
		b, fee, _ := run(i)
		return b, fee, i < most
	}, told
}

// Streams of a quote's first simulation: of its boards, and of those announced
// beforehand.
const (
	ofRun  = 1 << 20
	ofTold = 1 << 21
)
