package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/svgtest"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// extremes are the largest and smallest plans that a request can hold.
func extremes(t *testing.T) map[string]sample {
	t.Helper()
	all, err := extremesOnce()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

var extremesOnce = sync.OnceValues(solveExtremes)

func solveExtremes() (map[string]sample, error) {
	huge := rip.Problem{Board: wood.Board{Length: wood.MaxLength, Thickness: mm(2000)},
		Saw: saw.Saw{Kerf: mm(50), Step: mm(1), Gap: mm(10), LeastStrip: mm(5), Trim: mm(50), Fence: saw.Travel{Min: mm(-5000), Max: mm(-5000), Current: mm(-5000)}}}
	for i := range wood.MaxStations {
		huge.Board.Stations = append(huge.Board.Stations, wood.Station{X: unit.Length(i) * mm(10), Far: mm(1999 + float64(i%2))})
	}
	for i := range wood.MaxDefects {
		at := mm(float64(20 * i))
		huge.Board.Defects = append(huge.Board.Defects, wood.Defect{FromX: at, ToX: at + mm(1), FromY: mm(-2000), ToY: mm(2000), Kind: strings.Repeat("k", i%64+1)})
	}
	for i := range saw.MaxBlades {
		huge.Saw.Blades = append(huge.Saw.Blades, saw.Blade{At: mm(-5000 + 61*float64(i))})
	}
	for i := range 40 {
		huge.Items = append(huge.Items, order.Item{ID: strings.Repeat("W", 120) + strconv.Itoa(i), Min: mm(11), Max: mm(11), Value: 1e6, Accepts: nil})
	}
	tiny := rip.Problem{Board: wood.Board{Length: 1, Stations: []wood.Station{{Far: 1}}},
		Saw: saw.Saw{Step: mm(0.01), Gap: 1, LeastStrip: 1, Fence: saw.Travel{}, Blades: []saw.Blade{{At: 0}, {At: 1}}}}
	out := map[string]sample{}
	for name, p := range map[string]rip.Problem{"huge": huge, "tiny": tiny} {
		positions := make([]unit.Length, len(p.Saw.Blades))
		for i, b := range p.Saw.Blades {
			positions[i] = b.At
		}
		r, err := rip.Check(&p, 0, p.Saw.Fence.Min, positions, rip.Options{Work: 1})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out[name] = sample{p, r.Plan, Options{Board: strings.Repeat("W", 128)}}
	}
	return out, nil
}

func TestExtremes(t *testing.T) {
	for name, c := range extremes(t) {
		svg := Draw(&c.p, c.plan, c.o)
		for _, e := range svgtest.Parse(t, svg) {
			for _, a := range []string{"x", "y", "width", "height"} {
				if v := e.Attr[a]; v != "" && v != "100%" {
					if n, err := strconv.ParseFloat(v, 64); err != nil || math.IsNaN(n) || math.Abs(n) > 1e6 {
						t.Fatalf("%s: %s of %s is %s", name, a, e.Name, v)
					}
				}
			}
		}
		// A gRPC client takes 4 MiB unless configured otherwise.
		if len(svg) > 3<<20 {
			t.Errorf("%s: %d bytes", name, len(svg))
		}
	}
}
