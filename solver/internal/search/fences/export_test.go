package fences

import (
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// SolveWith is Solve with a limit on the states of caps.
func SolveWith(m *model.Model, b *budget.Budget, states int) Result { return solve(m, b, states, nil) }

// MostStates is the limit that Solve has.
const MostStates = mostStates

// Sketch is the result of a solve of one round, for a picture of the method.
type Sketch struct {
	Plan      *model.Plan
	Fences    []int64   // the stops,
	Bounds    []float64 // what a plan can be worth at each,
	Scored    int       // how many were scored exactly,
	Near, Far []Entry   // the tables of the outermost fixed blades,
	Layers    []Entry   // and the blades that a best plan may have beyond those
}

// Entry is the most that lies beyond a blade at a height with a number of blades to come.
type Entry struct {
	Y      int64
	ToCome int
	Near   bool
	Worth  float64
}

// Draw solves a problem in which no cap and no travel binds.
func Draw(m *model.Model, b *budget.Budget) *Sketch {
	c := &scratch{}
	s := newSolver(m, b, c)
	r := Result{Bound: crude(m)}
	whole := piece{from: 0, to: m.Fences() - 1, bound: r.Bound}
	d := &Sketch{}
	d.Plan, _ = s.close(&whole, false, &r)
	d.Scored = r.Fences
	for t, v := range s.bounds {
		d.Fences, d.Bounds = append(d.Fences, m.Fence(t)), append(d.Bounds, s.profile.Worth(max(v, 0)).Money())
	}
	table := func(x *costtogo.Side) (all []Entry) {
		for e := range x.P.N {
			if v := x.At(x.Moving, 0, e); v >= 0 {
				all = append(all, Entry{Y: x.Y(x.Moving, e), ToCome: x.Moving, Near: x.Left, Worth: s.profile.Worth(v).Money()})
			}
		}
		return all
	}
	d.Near, d.Far = table(s.left), table(s.right)
	for _, g := range []*layered.Graph{s.gl, s.gr} {
		x := s.left
		if g == s.gr {
			x = s.right
		}
		g.Nodes(func(k, e int) { d.Layers = append(d.Layers, Entry{Y: x.Y(k, e), ToCome: k, Near: x.Left}) })
	}
	return d
}
