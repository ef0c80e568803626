package arbor

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Every setting is visited once, and those with blades too close together are left out:
// the count equals that of trying every choice of positions.
func TestEnumerate(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	counted := 0
	for range brief.Fewer(300) {
		n := 1 + r.IntN(4)
		p := &Problem{Spacers: Spacers{Increment: unit.Length(1 + r.IntN(7)), Origin: unit.Length(r.IntN(9) - 4), Min: -20, Max: unit.Length(r.IntN(30))}}
		c := &scorer{p: p, o: &Options{Settings: 1 << 30}}
		c.saw.Kerf, c.saw.Gap = unit.Length(r.IntN(5)), unit.Length(1+r.IntN(9))
		grid := p.Spacers.grid()
		for _, a := range grid {
			if a < p.Spacers.Min || a > p.Spacers.Max || (a-p.Spacers.Origin)%p.Spacers.Increment != 0 {
				t.Fatalf("%+v has %d", p.Spacers, a)
			}
		}
		var want [][]unit.Length
		var choose func(at []unit.Length, from int)
		choose = func(at []unit.Length, from int) {
			if len(at) == n {
				want = append(want, slices.Clone(at))
				return
			}
			for i := from; i < len(grid); i++ {
				if len(at) == 0 || grid[i]-at[len(at)-1] >= c.saw.Kerf+c.saw.Gap {
					choose(append(at, grid[i]), i+1)
				}
			}
		}
		choose(nil, 0)
		var got [][]unit.Length
		c.enumerate(grid, n, func(at []unit.Length) bool {
			got = append(got, slices.Clone(at))
			return true
		})
		if !slices.EqualFunc(got, want, slices.Equal) {
			t.Fatalf("%+v, %d blades, %d apart: %v, want %v", p.Spacers, n, c.saw.Kerf+c.saw.Gap, got, want)
		}
		for _, most := range []int{len(want) - 1, len(want), len(want) + 1} {
			if c.o.Settings = most; most >= 0 && c.few(grid, n) != (len(want) <= most) {
				t.Errorf("%d settings are few of %d: %v", len(want), most, c.few(grid, n))
			}
		}
		if len(want) > 0 {
			counted++
		}
	}
	if counted < brief.Fewer(100) {
		t.Errorf("only %d problems have a setting", counted)
	}
}

// Worked by hand: an item of 86.2 mm, give or take 0.5, fits between blades 86 mm apart,
// one of 51.4 between blades 51 mm apart, and one of 53 on spacers of 5 mm only if a
// moving blade takes the rest.
func TestGaps(t *testing.T) {
	const mm = unit.Millimetre
	blades := []saw.Blade{{}, {}, {Moving: true}, {}}
	items := []order.Item{{Min: 862 * mm / 10, Max: 862 * mm / 10, Tolerance: mm / 2}}
	c := &scorer{p: &Problem{Spacers: Spacers{Increment: mm}}, saw: saw.Saw{Kerf: 4 * mm, Step: mm, Blades: blades}, items: [][]order.Item{items}}
	if got := c.gaps(); !reflect.DeepEqual(got, [][]unit.Length{{90 * mm}, {90 * mm, 180 * mm, 181 * mm}}) {
		t.Error(got)
	}
	items[0].Min, items[0].Max = 514*mm/10, 514*mm/10
	c.p.Spacers.Increment = 5 * mm
	if got := c.gaps(); !reflect.DeepEqual(got, [][]unit.Length{{55 * mm}, {55 * mm, 110 * mm}}) {
		t.Error(got)
	}
	items[0].Min, items[0].Max = 53*mm, 53*mm
	if got := c.gaps(); !reflect.DeepEqual(got, [][]unit.Length{nil, {60 * mm, 115 * mm}}) {
		t.Error(got)
	}
}

// Blades go to the nearest position; of two equally near, the lower one.
func TestNearest(t *testing.T) {
	grid := []unit.Length{10, 20, 30, 50}
	for a, want := range map[unit.Length]unit.Length{-5: 10, 10: 10, 14: 10, 15: 10, 16: 20, 39: 30, 40: 30, 41: 50, 50: 50, 99: 50} {
		if got := nearest(grid, []unit.Length{a}); got[0] != want {
			t.Errorf("%d goes to %d, want %d", a, got[0], want)
		}
	}
}

// A forgotten setting is scored again, and does not count twice.
func TestForgotten(t *testing.T) {
	c := &scorer{known: map[string]*Scored{}, most: 3}
	for i := range 100_000 {
		c.know(string(appendKey(nil, []unit.Length{unit.Length(i), 7, 8, 9})), nil)
	}
	if len(c.known) == 0 || len(c.known)*400 > MostKnown {
		t.Errorf("%d are known", len(c.known))
	}
}
