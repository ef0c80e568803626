package lumber_test

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The mean face of 40,000 drawn boards is that of the source within sampling error.
func TestMeanFace(t *testing.T) {
	const mm = unit.Millimetre
	lengths := []lumber.LengthShare{{Length: 2000 * mm, Share: 1}, {Length: 3600 * mm, Share: 3}}
	for name, s := range map[string]lumber.Source{
		"spread":              lumber.Spread{Mean: 190 * mm, Deviation: 40 * mm, Least: 100 * mm, Greatest: 320 * mm, Crook: 6 * mm, Taper: 20 * mm, Lengths: lengths},
		"cut off on one side": lumber.Spread{Mean: 110 * mm, Deviation: 60 * mm, Least: 100 * mm, Greatest: 400 * mm, Lengths: lengths},
		"hardly ever within":  lumber.Spread{Mean: 150 * mm, Deviation: 90 * mm, Least: 149 * mm, Greatest: 150 * mm, Lengths: lengths},
		"one width":           lumber.Spread{Mean: 150 * mm, Least: 100 * mm, Greatest: 200 * mm, Lengths: lengths},
		"tag":                 lumber.Tagged{Rows: []lumber.TagRow{{Width: 120 * mm, Length: 2400 * mm, Count: 5}, {Width: 260 * mm, Length: 3000 * mm, Count: 2}}},
		"listed": lumber.Listed{{Board: wood.Board{Length: 2000 * mm, Stations: []wood.Station{{Far: 100 * mm}, {X: 2000 * mm, Near: 10 * mm, Far: 80 * mm}}}, Count: 3},
			{Board: wood.Board{Length: 1000 * mm, Stations: []wood.Station{{Far: 300 * mm}}}, Count: 1}},
	} {
		const n = 40_000
		r, draw := lumber.Random(3, 0), s.Drawer()
		sum, squares := 0.0, 0.0
		for range n {
			b := draw(r)
			v := b.Face().SquareMetres()
			sum, squares = sum+v, squares+v*v
		}
		mean := sum / n
		off := math.Sqrt(max(squares/n-mean*mean, 0)/n)*4 + 1e-4*mean
		if got := s.MeanFace(); math.Abs(got-mean) > off {
			t.Errorf("%s: %v, drawn %v, more than %v off", name, got, mean, off)
		}
	}
}
