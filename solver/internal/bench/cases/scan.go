package cases

import (
	"math"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// scan gives a board as a scanner sees it: a reading every few centimetres, edges that
// wander with the grain, wane, a splinter or a flake of bark here and there, and the
// scanner's own noise, all rounded to a tenth of a millimetre as scanners do. The amount
// of each is invented.
func (c Shape) scan(r *rand.Rand, long float64) wood.Board {
	crook, taper := r.NormFloat64()*6, math.Abs(r.NormFloat64())*7
	near, far := c.edge(r), c.edge(r)
	b := wood.Board{Length: length(long)}
	least := unit.Length(1 << 40)
	tenth := func(v float64) unit.Length { return length(math.Round(v*10) / 10) }
	for i := range c.Stations {
		t := float64(i) / float64(c.Stations-1)
		bow := crook * 4 * t * (1 - t)
		s := wood.Station{X: length(t * long), Near: tenth(bow + near[i]), Far: tenth(bow + c.Width - taper*t - far[i])}
		least = min(least, s.Near)
		b.Stations = append(b.Stations, s)
	}
	return pushed(b, least)
}

// edge gives how far an edge lies inside the straight one, reading by reading.
func (c Shape) edge(r *rand.Rand) []float64 {
	const (
		along   = 0.9  // of the wander, kept at the next reading
		wander  = 0.35 // mm of new wander
		noise   = 0.12 // mm, of the scanner
		splints = 0.01 // share of readings with a splinter or bark
	)
	e := make([]float64, c.Stations)
	at := r.NormFloat64()
	for i := range e {
		at = along*at + wander*r.NormFloat64()
		e[i] = at + noise*r.NormFloat64()
		if r.Float64() < splints {
			e[i] -= 4 * r.Float64()
		}
	}
	for range r.IntN(3) { // wane: a dip of some length
		from, n, deep := r.IntN(len(e)), 3+r.IntN(len(e)/6), 2+10*r.Float64()
		for i := from; i < min(from+n, len(e)); i++ {
			e[i] += deep * math.Sin(math.Pi*float64(i-from+1)/float64(n+1))
		}
	}
	return e
}
