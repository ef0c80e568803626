package values_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// instance is a cutting-stock problem: a roll is a board as wide, kerf and trim
// are 0, and demand is in pieces of full length.
type instance struct {
	Source string
	Stock  int64
	Widths []int64
	Pieces []int64
	LP     float64
	Boards int64
	// RoundsUp says that Boards is LP rounded up, so that it can be proven.
	RoundsUp bool `json:"rounds_up"`
}

// problem poses an instance on a saw whose blades are free. unit is how wide one
// unit is; blades is at least as many as pieces of an efficient pattern.
func (c *instance) problem(u unit.Length, blades int) *values.Problem {
	s := saw.Saw{Step: u, Gap: u, LeastStrip: u}
	width := unit.Length(c.Stock) * u
	for range blades {
		// Blades not needed stand beyond the far edge.
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: width + unit.Length(blades)*u}})
	}
	p := &values.Problem{Saw: s, Objective: values.Boards, Lost: values.Everything}
	for i, w := range c.Widths {
		it := order.Item{ID: fmt.Sprint(w), Min: unit.Length(w) * u, Measure: order.ByPieces, Required: c.Pieces[i]}
		it.Max = it.Min
		p.Items = append(p.Items, it)
	}
	b := wood.Board{Length: unit.Foot, StraightNear: true, Stations: []wood.Station{{Far: width}}}
	p.Lots = []values.Lot{{ID: "stock", Kinds: []lumber.Kind{{Board: b, Count: 1}}}}
	return p
}

func (c *instance) check(t *testing.T, p *values.Problem) {
	t.Helper()
	pl, err := values.New(p)
	if err != nil {
		t.Fatal(err)
	}
	o := values.Options{Gap: 1e-9}
	plan, err := pl.Plan(pl.Demand.Open(), o)
	if err != nil {
		t.Fatal(err)
	}
	const near = 1e-6
	if !plan.Proven || math.Abs(plan.Cost-c.LP) > near || math.Abs(plan.Bound-c.LP) > near {
		t.Errorf("LP: %.9f, bound %.9f, proven %v after %d rounds; want %.9f", plan.Cost, plan.Bound, plan.Proven, plan.Rounds, c.LP)
	}
	w, ok, err := pl.Whole(plan, pl.Demand.Open(), o)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	if !w.Filled || w.Boards != c.Boards || w.Proven != c.RoundsUp {
		t.Errorf("whole: %d boards, filled %v, proven %v; want %d, %v", w.Boards, w.Filled, w.Proven, c.Boards, c.RoundsUp)
	}
	c.recount(t, w)
	t.Logf("%s: LP %.6f in %d rounds, whole %d, proven %v", c.Source, plan.Cost, plan.Rounds, w.Boards, w.Proven)
}

// recount adds up the patterns by the strips of their plans.
func (c *instance) recount(t *testing.T, w *values.Whole) {
	t.Helper()
	made, boards := make([]int64, len(c.Widths)), int64(0)
	for _, p := range w.Patterns {
		boards += p.Times
		used := int64(0)
		for _, pk := range p.Plan.Pockets {
			if pk.Item >= 0 {
				item := p.Items[pk.Item]
				made[item] += p.Times
				used += c.Widths[item]
			}
		}
		if used > c.Stock {
			t.Errorf("a pattern of %d on a roll of %d", used, c.Stock)
		}
	}
	if boards != w.Boards {
		t.Errorf("patterns of %d boards, not %d", boards, w.Boards)
	}
	for i := range made {
		if made[i] < c.Pieces[i] {
			t.Errorf("%d of width %d, want %d", made[i], c.Widths[i], c.Pieces[i])
		}
	}
}

func TestCuttingStock(t *testing.T) {
	// LP values and optima of the published instances were solved again with
	// exact arithmetic; each instance names its source.
	raw, err := os.ReadFile("../../../testdata/cutting_stock.json")
	if err != nil {
		t.Fatal(err)
	}
	var instances []instance
	if err := json.Unmarshal(raw, &instances); err != nil {
		t.Fatal(err)
	}
	for _, c := range instances {
		if len(c.Widths) > 8 || c.Stock > 1000 {
			continue // these take long, and the service's own test has them all
		}
		t.Run(c.Source, func(t *testing.T) {
			u := unit.Millimetre
			if c.Stock > 1000 {
				u = 100 * unit.Micrometre
			}
			least := c.Widths[0]
			for _, w := range c.Widths {
				least = min(least, w)
			}
			c.check(t, c.problem(u, int(min(c.Stock/least, 12))))
		})
	}
}
