package values_test

import (
	"fmt"
	"math"
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
	source  string
	stock   int64
	width   []int64
	pieces  []int64
	lp      float64
	whole   int64
	near    float64 // how exactly lp is known; 0: 1e-6
	rounded bool    // whole is lp rounded up, so it can be proven
}

// problem poses an instance on a saw whose blades are free. unit is how wide one
// unit is; blades is at least as many as pieces of an efficient pattern.
func (c *instance) problem(u unit.Length, blades int) *values.Problem {
	s := saw.Saw{Step: u, Gap: u, LeastStrip: u}
	width := unit.Length(c.stock) * u
	for range blades {
		// Blades not needed stand beyond the far edge.
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: width + unit.Length(blades)*u}})
	}
	p := &values.Problem{Saw: s, Objective: values.Boards, Lost: values.Everything}
	for i, w := range c.width {
		it := order.Item{ID: fmt.Sprint(w), Min: unit.Length(w) * u, Measure: order.ByPieces, Required: c.pieces[i]}
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
	near := 1e-6
	if c.near > 0 {
		near = c.near
	}
	if !plan.Proven || math.Abs(plan.Cost-c.lp) > near || math.Abs(plan.Bound-c.lp) > near {
		t.Errorf("LP: %.9f, bound %.9f, proven %v after %d rounds; want %.9f", plan.Cost, plan.Bound, plan.Proven, plan.Rounds, c.lp)
	}
	w, ok, err := pl.Whole(plan, pl.Demand.Open(), o)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	if !w.Filled || w.Boards != c.whole || w.Proven != c.rounded {
		t.Errorf("whole: %d boards, filled %v, proven %v; want %d, %v", w.Boards, w.Filled, w.Proven, c.whole, c.rounded)
	}
	c.recount(t, w)
	t.Logf("%s: LP %.6f in %d rounds, whole %d, proven %v", c.source, plan.Cost, plan.Rounds, w.Boards, w.Proven)
}

// recount adds up the patterns by the strips of their plans.
func (c *instance) recount(t *testing.T, w *values.Whole) {
	t.Helper()
	made, boards := make([]int64, len(c.width)), int64(0)
	for _, p := range w.Patterns {
		boards += p.Times
		used := int64(0)
		for _, pk := range p.Plan.Pockets {
			if pk.Item >= 0 {
				item := p.Items[pk.Item]
				made[item] += p.Times
				used += c.width[item]
			}
		}
		if used > c.stock {
			t.Errorf("a pattern of %d on a roll of %d", used, c.stock)
		}
	}
	if boards != w.Boards {
		t.Errorf("patterns of %d boards, not %d", boards, w.Boards)
	}
	for i := range made {
		if made[i] < c.pieces[i] {
			t.Errorf("%d of width %d, want %d", made[i], c.width[i], c.pieces[i])
		}
	}
}

// LP values and optima of the published instances were solved again with exact
// arithmetic.
var instances = []instance{
	{source: "Chvatal, Linear Programming (1983), ch. 13", stock: 100,
		width: []int64{45, 36, 31, 14}, pieces: []int64{97, 610, 395, 211},
		lp: 452.25, whole: 453, rounded: true},
	{source: "Fourer, Gay, Kernighan, AMPL (cut.dat)", stock: 110,
		width: []int64{20, 45, 50, 55, 75}, pieces: []int64{48, 35, 24, 10, 8},
		lp: 46.25, whole: 47, rounded: true},
	{source: "AMPL, cutting-stock example for Java", stock: 6450,
		width: []int64{677, 756, 1746, 1876}, pieces: []int64{10, 40, 33, 10},
		lp: 305.0 / 17, whole: 18, rounded: true},
	{source: "a university lecture on lumber lengths", stock: 17,
		width: []int64{3, 5, 9}, pieces: []int64{25, 20, 15},
		lp: 18 + 1.0/3, whole: 19, rounded: true},
	{source: "textbook boards of 25 ft", stock: 25,
		width: []int64{7, 9, 10}, pieces: []int64{700, 1200, 300},
		lp: 775, whole: 775, rounded: true},
	{source: "GLPK, example bpp.mod", stock: 100,
		width: []int64{50, 60, 30, 70, 40}, pieces: []int64{2, 1, 1, 1, 1},
		lp: 3, whole: 3, rounded: true},
	{source: "MiniZinc benchmarks, cutstock small_test0", stock: 10,
		width: []int64{7, 5, 3}, pieces: []int64{2, 2, 4},
		lp: 3 + 2.0/3, whole: 4, rounded: true},
	{source: "Scheithauer and Terno, an instance without the round-up property (from memory)", stock: 132,
		width: []int64{44, 33, 12}, pieces: []int64{2, 3, 6},
		lp: 259.0 / 132, whole: 3, rounded: false},
	{source: "BPPLIB (Delorme, Iori, Martello 2018), N1C1W1_A", stock: 100,
		width:  []int64{99, 96, 92, 91, 88, 87, 86, 85, 76, 74, 72, 69, 67, 62, 61, 56, 52, 51, 49, 46, 44, 42, 40, 33, 30, 29, 28, 27, 25, 24, 23, 22, 21, 20, 17, 14, 13, 11, 10, 7, 3},
		pieces: []int64{2, 2, 2, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 1, 2, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 1},
		lp:     24.75, whole: 25, rounded: true},
}

func TestCuttingStock(t *testing.T) {
	for _, c := range instances {
		t.Run(c.source, func(t *testing.T) {
			u := unit.Millimetre
			if c.stock > 1000 {
				u = 100 * unit.Micrometre
			}
			least := c.width[0]
			for _, w := range c.width {
				least = min(least, w)
			}
			c.check(t, c.problem(u, int(min(c.stock/least, 12))))
		})
	}
}
