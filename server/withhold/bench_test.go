package withhold

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// BenchmarkAnswer compares checking an answer with reading its request from the wire: for
// the demo's first board, and for the largest request accepted.
func BenchmarkAnswer(b *testing.B) {
	for _, c := range []struct {
		name  string
		ask   *ripwrightv1.SolveBoardRequest
		plans int
	}{{"demo, a plan", demo(b), 1}, {"largest, a plan", largest(), 1}, {"largest, 21 plans", largest(), 21}} {
		j, err := wire.Solve(c.ask, nil)
		if err != nil {
			b.Fatal(err)
		}
		r := result(b, j, c.plans)
		raw, err := proto.Marshal(c.ask)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(c.name+"/read", func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				m := &ripwrightv1.SolveBoardRequest{}
				if err := proto.Unmarshal(raw, m); err != nil {
					b.Fatal(err)
				}
				if _, err := wire.Solve(m, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(c.name+"/audit", func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				_ = Result(j, r)
			}
		})
		m := j.Solved(r, 1)
		b.Run(c.name+"/write", func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := proto.Marshal(j.Solved(r, 1)); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(c.name+"/compare", func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if err := Solved(j, r, m); err != nil {
					b.Fatal(why(err))
				}
			}
		})
	}
}

func demo(b *testing.B) *ripwrightv1.SolveBoardRequest {
	ask := &ripwrightv1.SolveBoardRequest{Board: &ripwrightv1.Board{}, Order: &ripwrightv1.CutOrder{}}
	lines, err := os.ReadFile("../../testdata/demo/boards.jsonl")
	if err != nil {
		b.Fatal(err)
	}
	order, err := os.ReadFile("../../testdata/demo/order.json")
	if err != nil {
		b.Fatal(err)
	}
	first, _, _ := strings.Cut(string(lines), "\n")
	if err := protojson.Unmarshal([]byte(first), ask.Board); err != nil {
		b.Fatal(err)
	}
	if err := protojson.Unmarshal(order, ask.Order); err != nil {
		b.Fatal(err)
	}
	s := &ripwrightv1.Saw{}
	if err := protojson.Unmarshal([]byte(`{"kerf_mm": 3.6, "step_mm": 0.1, "fence": {"min_mm": 40, "max_mm": 290, "current_mm": 120},
	 "blades": [{"fixed_mm": 150}, {"fixed_mm": 220.4}, {"moving": {"min_mm": 260, "max_mm": 420, "current_mm": 300}}, {"moving": {"min_mm": 310, "max_mm": 560, "current_mm": 400}}],
	 "min_gap_mm": 30, "edge_trim_mm": 3, "min_strip_width_mm": 25}`), s); err != nil {
		b.Fatal(err)
	}
	ask.SawChoice = &ripwrightv1.SolveBoardRequest_Saw{Saw: s}
	return ask
}

// largest has 2000 stations of two ragged edges, 1000 defects, 32 blades and 500 items,
// every tenth with crosscut lengths.
func largest() *ripwrightv1.SolveBoardRequest {
	board := &ripwrightv1.Board{LengthMm: 20_000}
	for i := range 2000 {
		x := float64(i) * 10
		board.Stations = append(board.Stations, &ripwrightv1.Station{XMm: x, NearMm: 300 + 290*math.Sin(x/37), FarMm: 1600 + 300*math.Cos(x/53)})
	}
	for i := range 1000 {
		x := float64(i) * 19.9
		board.Defects = append(board.Defects, &ripwrightv1.Defect{FromXMm: x, ToXMm: x + 5, FromYMm: float64(i%190) * 10, ToYMm: float64(i%190)*10 + 60, Kind: fmt.Sprint("kind ", i)})
	}
	s := &ripwrightv1.Saw{KerfMm: proto.Float64(4), StepMm: 1, Fence: &ripwrightv1.Travel{MinMm: 0, MaxMm: 60}, MinGapMm: 20, MinStripWidthMm: 20}
	for i := range 32 {
		s.Blades = append(s.Blades, &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: float64(i) * 60}})
	}
	order := &ripwrightv1.CutOrder{}
	for i := range 500 {
		it := &ripwrightv1.Item{ItemId: fmt.Sprint("item ", i), Width: &ripwrightv1.Item_Range{Range: &ripwrightv1.WidthRange{MinMm: 50 + float64(i)/100, MaxMm: 56}}, Value: 1}
		if i%10 == 0 {
			it.Value, it.Crosscut = 0, &ripwrightv1.Crosscut{KerfMm: 4, EndTrimMm: 5}
		}
		for k := 0; k < 32 && it.Crosscut != nil; k++ {
			it.Crosscut.Lengths = append(it.Crosscut.Lengths, &ripwrightv1.CutLength{LengthMm: 20 + 5*float64(k), Value: 1 + float64(k*k%7)})
		}
		order.Items = append(order.Items, it)
	}
	return &ripwrightv1.SolveBoardRequest{Board: board, SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: s}, Order: order}
}

// result has a best plan and, at other fences, runners-up, whose order may be wrong.
// Searching for one would take too long if everything is as large as allowed.
func result(b *testing.B, j *wire.Job, plans int) *rip.Result {
	r := &rip.Result{EndedBy: rip.TimeLimit}
	var blades []unit.Length
	for _, a := range j.Problem.Saw.Blades {
		blades = append(blades, a.At+a.Travel.Current)
	}
	for i := range plans {
		c, err := rip.Check(&j.Problem, 0, j.Problem.Saw.StepUp(j.Problem.Saw.Fence.Min)+unit.Length(i)*j.Problem.Saw.Step, blades, rip.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if d := audit.Given(&j.Problem, c); d != nil {
			b.Fatal(d)
		}
		if r.Best == nil {
			r.Best, r.Bound = c.Plan, c.Plan.Worth
			continue
		}
		if r.Bound.Cmp(c.Plan.Worth) < 0 {
			r.Bound = c.Plan.Worth
		}
		r.RunnersUp = append(r.RunnersUp, c.Plan)
	}
	return r
}
