package broad

import (
	"math"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// board draws the outline. Edges stray less on narrow boards.
func (d *draw) board(b *wood.Board) {
	b.Length = length(d.length)
	n := map[string]int{"clean": 2, "rough": 80, "waney": 40, "width": 16, "straight": 20}[d.Edges]
	much := min(1, d.width/200)
	crook, taper := much*d.NormFloat64()*7, much*math.Abs(d.NormFloat64())*8
	near, far := make([]float64, n), make([]float64, n)
	switch d.Edges {
	case "clean":
		crook = 0
		if d.chance(0.5) {
			taper = 0
		}
	case "rough":
		d.roughen(near, 1.5*much)
		d.roughen(far, 1.5*much)
	case "waney":
		d.wander(near, 20*much)
		d.wander(far, 20*much)
	default:
		d.wander(far, 8*much)
		d.roughen(far, 0.8*much)
	}
	least := unit.Length(math.MaxInt64)
	for i := range n {
		t := float64(i) / float64(n-1)
		bow := crook * 4 * t * (1 - t)
		s := wood.Station{X: length(t * d.length), Near: length(bow + near[i]), Far: length(bow + d.width - taper*t - far[i])}
		if d.Edges == "straight" || d.Edges == "width" {
			s.Near, s.Far = 0, max(s.Far-length(bow), mm)
		}
		s.Far = max(s.Far, s.Near)
		least = min(least, s.Near)
		b.Stations = append(b.Stations, s)
	}
	for i := range b.Stations { // pushed against the fence
		b.Stations[i].Near -= least
		b.Stations[i].Far -= least
	}
	b.StraightNear = d.Edges == "straight"
}

// roughen adds the roughness of a saw or a scanner at every station.
func (d *draw) roughen(e []float64, much float64) {
	for i := range e {
		e[i] += much * d.Float64()
	}
}

// wander adds an edge that follows the grain, with wane: dips of some length.
func (d *draw) wander(e []float64, deep float64) {
	at := 0.0
	for i := range e {
		at = 0.9*at + deep/30*d.NormFloat64()
		e[i] += at
	}
	for range d.IntN(4) {
		from, n, by := d.IntN(len(e)), 3+d.IntN(len(e)/3), deep*d.between(0.1, 1)
		for i := from; i < min(from+n, len(e)); i++ {
			e[i] += by * math.Sin(math.Pi*float64(i-from+1)/float64(n+1))
		}
	}
}

// spoil scatters knots over the board and makes every other item crosscut.
func (d *draw) spoil() {
	p := d.Problem
	if d.Spoil == "defects" || d.Spoil == "both" {
		for range 1 + d.IntN(20) {
			x, y := d.between(0, d.length-60), d.between(0, d.width)
			p.Board.Defects = append(p.Board.Defects, wood.Defect{FromX: length(x), ToX: length(x + d.between(15, 55)),
				FromY: length(y), ToY: length(y + d.between(8, 35)), Kind: []string{"knot", "split", "stain"}[d.IntN(3)]})
		}
		for i := range p.Items {
			if d.chance(0.2) {
				p.Items[i].Accepts = []string{"stain"}
			}
		}
	}
	if d.Spoil == "crosscut" || d.Spoil == "both" {
		for i := range p.Items {
			if i%2 == 1 {
				d.crosscut(&p.Items[i])
			}
		}
	}
}
