package share

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// gang has fixed blades at the given positions.
func gang(at ...int64) saw.Saw {
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm, Fence: saw.Travel{Max: 100 * mm}}
	for _, v := range at {
		s.Blades = append(s.Blades, saw.Blade{At: unit.Length(v) * mm})
	}
	return s
}

func metres(id string, width, length int64) order.Item {
	return order.Item{ID: id, Min: unit.Length(width) * mm, Max: unit.Length(width) * mm, Measure: order.ByLength, Required: length * 1_000_000}
}

var oneMetre = []lumber.Kind{{Board: wood.Board{Length: 1000 * mm, Stations: []wood.Station{{Far: 160 * mm}}}, Count: 1}}

// Lines with different arbors, on boards of 1 m that each can rip in one best way: the
// first has two pockets of 60 mm, the second one of 60 and one of 80. Each line's part
// was worked out by hand.
func TestPlanOfLinesThatDiffer(t *testing.T) {
	for name, c := range map[string]struct {
		a, b        int64
		paces, want []float64
	}{
		// n boards on each: 2n + n metres of a, n of b.
		"both help to the end":     {120, 30, []float64{60, 60}, []float64{40, 40}},
		"by pace":                  {150, 30, []float64{120, 60}, []float64{60, 30}},
		"one alone can make b":     {60, 40, []float64{60, 60}, []float64{10, 40}},
		"the one that can is slow": {60, 40, []float64{600, 6}, []float64{10, 40}},
		"one stands":               {40, 40, []float64{0, 60}, []float64{0, 40}},
	} {
		t.Run(name, func(t *testing.T) {
			p := &Lines{Items: []order.Item{metres("a", 60, c.a), metres("b", 80, c.b)}, Boards: oneMetre, Saws: []saw.Saw{gang(100, 164, 228), gang(100, 164, 248)}, Paces: c.paces}
			got, err := Plan(p, values.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for l, want := range c.want {
				if math.Abs(got.Boards[l]-want) > 3*endWithin*want {
					t.Errorf("boards %v, want %v", got.Boards, c.want)
				}
			}
			if c.paces[0] == 0 {
				return
			}
			for l, makes := range [][]float64{{2 * c.want[0], 0}, {c.want[1], float64(c.b)}} {
				for k, want := range makes {
					if math.Abs(got.Makes[l][k]-want) > 3*endWithin*want {
						t.Errorf("line %d makes %v, want %v", l, got.Makes[l], makes)
					}
				}
			}
		})
	}
}

// Lines with the same arbor share by their paces, and the stopped one gets nothing.
func TestPlanOfLinesAlike(t *testing.T) {
	s := gang(100, 164, 248)
	p := &Lines{Items: []order.Item{metres("a", 60, 100), metres("b", 80, 90)}, Boards: oneMetre, Saws: []saw.Saw{s, s, gang(100)}, Paces: []float64{30, 10, 0}}
	got, err := Plan(p, values.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if b := got.Boards; got.Makes != nil || math.Abs(b[0]-75) > 0.2 || math.Abs(b[1]-25) > 0.1 || b[2] != 0 || math.Abs(got.Face-16) > 0.05 {
		t.Errorf("%+v", got)
	}
}

// Amounts at the limits of their range do not overflow.
func TestSplitOfTheMost(t *testing.T) {
	a := Amount{Open: order.MaxAmount, Unit: 1, Size: 1}
	for range 16 {
		a.Reserved, a.Weights = append(a.Reserved, order.MaxAmount), append(a.Weights, MaxWeight)
	}
	for l, got := range Split([]Amount{a})[0] {
		if got != order.MaxAmount {
			t.Errorf("line %d has reserved %d and gets %d", l, order.MaxAmount, got)
		}
	}
	if got := Weights([]float64{0, 1e-30, 2}); got[0] != 0 || got[1] != 1 || got[2] != MaxWeight {
		t.Errorf("weights are %d", got)
	}
}
