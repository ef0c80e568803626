package picture

import (
	"fmt"
	"maps"
	"sync"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/unit/people"
	"github.com/ripwright/ripwright/solver/wood"
)

// sample is a plan to draw.
type sample struct {
	p    rip.Problem
	plan *rip.Plan
	o    Options
}

func mm(v float64) unit.Length {
	l, _ := unit.FromMM(v)
	return l
}

func stations(v ...[3]float64) (all []wood.Station) {
	for _, s := range v {
		all = append(all, wood.Station{X: mm(s[0]), Near: mm(s[1]), Far: mm(s[2])})
	}
	return all
}

func width(id string, w, value float64) order.Item {
	return order.Item{ID: id, Min: mm(w), Max: mm(w), Value: int64(value * 1e6)}
}

// fourBlades is an invented saw with two fixed and two moving blades.
func fourBlades() saw.Saw {
	move := func(lo, hi float64) saw.Blade {
		return saw.Blade{Moving: true, Travel: saw.Travel{Min: mm(lo), Max: mm(hi), Current: mm(lo)}}
	}
	return saw.Saw{
		Kerf: mm(3.6), Step: mm(0.1), Gap: mm(25), LeastStrip: mm(25), Trim: mm(3.6),
		Fence:  saw.Travel{Min: mm(40), Max: mm(290), Current: mm(120)},
		Blades: []saw.Blade{{At: mm(150)}, {At: mm(220.4)}, move(240, 420), move(280, 560)},
	}
}

// cases are the invented plans that the tests draw, solved once.
func cases(t *testing.T) map[string]sample {
	t.Helper()
	all, err := solvedOnce()
	if err != nil {
		t.Fatal(err)
	}
	return maps.Clone(all)
}

var solvedOnce = sync.OnceValues(solveCases)

func solveCases() (map[string]sample, error) {
	items := []order.Item{width("stile", 66.6, 14), width("rail", 50, 11), width("nailer", 38.1, 8),
		{ID: "panel stock", Min: mm(40), Max: mm(90), Random: true, Value: 9e6}}
	plain := rip.Problem{
		Board: wood.Board{Length: mm(2400), Thickness: mm(25.4),
			Stations: stations([3]float64{0, 0, 240}, [3]float64{900, 3, 238}, [3]float64{1500, 5, 243}, [3]float64{2400, 4, 221})},
		Saw: fourBlades(), Items: items[:2],
	}
	long := plain
	long.Board = wood.Board{Length: mm(4052), Stations: stations([3]float64{0, 2, 131}, [3]float64{2000, 0, 124}, [3]float64{4052, 3, 118})}
	long.Items = items
	flawed := plain
	flawed.Board.Defects = []wood.Defect{
		{FromX: mm(640), ToX: mm(700), FromY: mm(80), ToY: mm(110), Kind: "knot"},
		{FromX: mm(1900), ToX: mm(2400), FromY: mm(186), ToY: mm(194), Kind: "split"},
		{FromX: mm(1200), ToX: mm(1260), FromY: mm(20), ToY: mm(60), Kind: "sound_knot"}}
	flawed.Items = []order.Item{width("door stile, left & right <pair>", 66.6, 0), width("rail", 50, 11)}
	flawed.Items[0].Accepts = []string{"sound_knot"}
	flawed.Items[0].CutKerf, flawed.Items[0].EndTrim = mm(4), mm(10)
	flawed.Items[0].Cuts = []order.Cut{{Length: mm(700), Value: 900_000}, {Length: mm(450), Value: 500_000}}
	skewed := plain
	skewed.Board = wood.Board{Length: mm(3100), Stations: stations([3]float64{0, 0, 176}, [3]float64{1500, 9, 184}, [3]float64{3100, 21, 194})}
	skewed.Saw.Skew = mm(10)
	skewed.Items = items
	short := plain
	short.Board = wood.Board{Length: mm(620), StraightNear: true, Stations: stations([3]float64{0, 0, 150}, [3]float64{620, 0, 141})}
	short.Items = items
	wide := plain
	wide.Board = wood.Board{Length: mm(3600), Stations: stations([3]float64{0, 0, 560}, [3]float64{3600, 8, 585})}
	wide.Saw.Blades = nil
	for k := range 12 {
		wide.Saw.Blades = append(wide.Saw.Blades, saw.Blade{At: mm(60 + 45*float64(k))})
	}
	wide.Items = []order.Item{width("slat", 41.4, 5), width("spacer", 25, 40), width("never made", 300, 1)}
	mixed := wide
	mixed.Board = wood.Board{Length: mm(4800), Stations: stations([3]float64{0, 0, 600}, [3]float64{2400, 30, 560}, [3]float64{4800, 2, 500})}
	mixed.Saw.Fence.Max, mixed.Saw.Fence.Min, mixed.Saw.Fence.Current = mm(60), mm(0), mm(0)
	mixed.Saw.Blades, mixed.Items = nil, nil
	for k, at := range []float64{30, 80, 145, 190, 260, 330, 370, 400, 460, 520, 575} {
		mixed.Saw.Blades = append(mixed.Saw.Blades, saw.Blade{At: mm(at)})
		if k > 0 && k != 4 {
			w := at - mixed.Saw.Blades[k-1].At.MM() - 3.6
			mixed.Items = append(mixed.Items, width(fmt.Sprintf("part no. %d", k), w, float64(10+k)))
		}
	}
	mixed.Board.Defects = []wood.Defect{{FromX: mm(500), ToX: mm(540), FromY: mm(100), ToY: mm(130), Kind: "knot"},
		{FromX: mm(2500), ToX: mm(2560), FromY: mm(300), ToY: mm(520), Kind: "pith"}}
	none := plain
	none.Items = nil

	all := map[string]sample{}
	for name, p := range map[string]rip.Problem{"plain": plain, "long": long, "flawed": flawed, "skewed": skewed,
		"short": short, "mixed": mixed, "wide": wide, "none": none} {
		r, err := rip.Solve(&p, rip.Options{})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		o := Options{Board: "AC-" + name}
		if name == "long" {
			o.Units = people.Inch
		}
		all[name] = sample{p, r.Best, o}
	}
	c, err := rip.Check(&plain, 0, mm(100.05), []unit.Length{mm(151), mm(220.4), mm(230), mm(700)}, rip.Options{})
	if err != nil {
		return nil, err
	}
	o := Options{Board: "AC-broken"}
	for _, b := range c.Broken {
		o.Broken = append(o.Broken, b.Fault)
	}
	all["broken"] = sample{plain, c.Plan, o}
	return all, nil
}
