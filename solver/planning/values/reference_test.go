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

// instance is a cutting-stock problem: a roll is a board of its width, kerf and trim are
// 0, and demand is in pieces of full length.
type instance struct {
	Source string
	Stock  int64
	Widths []int64
	Pieces []int64
	LP     float64
	Boards int64
	// Beyond is the LP value if a board may make more of a width than is wanted in all, as
	// in the programme of some sources; 0: the same.
	Beyond float64
	// RoundsUp says that Boards is the LP value rounded up, so it can be proven.
	RoundsUp bool `json:"rounds_up"`
}

// problem poses an instance on a saw with free blades. unit is the width of one unit;
// blades is at least the number of pieces in an efficient pattern.
func (c *instance) problem(u unit.Length, blades int) *values.Problem {
	s := saw.Saw{Step: u, Gap: u, LeastStrip: u}
	width := unit.Length(c.Stock) * u
	for range blades {
		// Blades that are not needed stand beyond the far edge.
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
	o := values.Options{Gap: 1e-9}
	if c.Beyond > 0 {
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(err)
		}
		values.AllowBeyond(pl)
		plan, err := pl.Plan(pl.Demand.Open(), o)
		if err != nil {
			t.Fatal(err)
		}
		c.meets(t, plan, c.Beyond)
	}
	pl, err := values.New(p)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := pl.Plan(pl.Demand.Open(), o)
	if err != nil {
		t.Fatal(err)
	}
	c.meets(t, plan, c.LP)
	c.proves(t, plan)
	if got := values.Proper(pl, plan); math.Abs(got-plan.Cost) > 1e-9*plan.Cost {
		t.Errorf("%v boards by patterns that make no more than is wanted, of a cost of %v", got, plan.Cost)
	}
	if len(c.Widths) > 30 && !c.RoundsUp {
		return // no bound ends the search for whole boards; the test of the service covers it
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

// meets compares a fractional plan with an LP value.
func (c *instance) meets(t *testing.T, plan *values.Plan, lp float64) {
	t.Helper()
	const near = 1e-6
	if !plan.Proven || math.Abs(plan.Cost-lp) > near || math.Abs(plan.Bound-lp) > near {
		t.Errorf("LP: %.9f, bound %.9f, proven %v after %d rounds; want %.9f", plan.Cost, plan.Bound, plan.Proven, plan.Rounds, lp)
	}
}

// proves shows by an independent bounded knapsack that the values bound the LP from
// below: no pattern that makes no more than is wanted is worth more than a roll.
func (c *instance) proves(t *testing.T, plan *values.Plan) {
	t.Helper()
	best := make([]float64, c.Stock+1)
	for i, w := range c.Widths {
		for range c.Pieces[i] {
			for room := c.Stock; room >= w; room-- {
				best[room] = math.Max(best[room], best[room-w]+plan.Values[i])
			}
		}
	}
	total := 0.0
	for i, n := range c.Pieces {
		total += plan.Values[i] * float64(n)
	}
	if most := best[c.Stock]; most > 1+1e-9 || total < c.LP-1e-6 {
		t.Errorf("a pattern is worth %v of a roll by the values, and the order %v; want %v", most, total, c.LP)
	}
}

// recount adds up the patterns from the strips of their plans.
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
	// The LP values and optima of the published instances were solved again in exact
	// arithmetic; each instance names its source.
	raw, err := os.ReadFile("../../../testdata/cutting_stock.json")
	if err != nil {
		t.Fatal(err)
	}
	var instances []instance
	if err := json.Unmarshal(raw, &instances); err != nil {
		t.Fatal(err)
	}
	for _, c := range instances {
		t.Run(c.Source, func(t *testing.T) {
			if len(c.Widths) > 30 && os.Getenv("RIPWRIGHT_EVERY") == "" {
				t.Skip("takes long; set RIPWRIGHT_EVERY=1 to run it")
			}
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
