package drawn

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Shrink makes a valid problem that fails smaller as long as it fails: it drops items,
// blades, stations, defects, lengths, caps and whatever else is not needed, narrows
// travels and rounds the rest.
func Shrink(p *oracle.Problem, fails func(*oracle.Problem) bool) *oracle.Problem {
	p = Clone(p)
	for smaller := true; smaller; {
		smaller = false
		for i := 0; ; i++ {
			all := changes(p)
			if i >= len(all) {
				break
			}
			q := Clone(p)
			all[i](q)
			if !same(p, q) && Valid(q) && fails(q) {
				p, smaller = q, true
				i--
			}
		}
	}
	return p
}

// Clone copies a problem, so that either can be changed.
func Clone(p *oracle.Problem) *oracle.Problem {
	q := *p
	q.Board.Stations, q.Board.Defects = slices.Clone(p.Board.Stations), slices.Clone(p.Board.Defects)
	q.Saw.Blades = slices.Clone(p.Saw.Blades)
	q.Items = order.CloneItems(p.Items)
	for i := range q.Items {
		q.Items[i].Accepts = slices.Clone(q.Items[i].Accepts)
	}
	return &q
}

func same(p, q *oracle.Problem) bool { return JSON(p) == JSON(q) }

type change = func(*oracle.Problem)

// changes lists what could make a problem smaller, the most promising first. None of them
// may undo another.
func changes(p *oracle.Problem) (all []change) {
	add := func(c ...change) { all = append(all, c...) }
	add(func(q *oracle.Problem) {
		q.Price, q.Pace.Handling, q.Pace.Feed, q.Pace.Positioning, q.Pace.Overlaps = 0, 0, 0, 0, false
	},
		func(q *oracle.Problem) { q.Pace.Overlaps = false },
		func(q *oracle.Problem) { q.Pace.Handling = 0 },
		func(q *oracle.Problem) { q.Saw.Limits = saw.Limits{} },
		func(q *oracle.Problem) { q.Saw.Skew = 0 },
		func(q *oracle.Problem) { q.Saw.Skew = q.Saw.Skew / q.Saw.Step * q.Saw.Step },
		func(q *oracle.Problem) { q.Saw.Rerip = saw.Rerip{} },
		func(q *oracle.Problem) { q.Saw.Trim = 0 },
		func(q *oracle.Problem) { q.Saw.Gap = q.Saw.LeastStrip })
	for i := range p.Items {
		add(func(q *oracle.Problem) { q.Items = slices.Delete(q.Items, i, i+1) })
	}
	for i := range p.Board.Defects {
		add(func(q *oracle.Problem) { q.Board.Defects = slices.Delete(q.Board.Defects, i, i+1) })
	}
	for j := range p.Saw.Blades {
		add(func(q *oracle.Problem) { q.Saw.Blades = slices.Delete(q.Saw.Blades, j, j+1) })
	}
	add(travels(p)...)
	for i := range p.Board.Stations {
		add(func(q *oracle.Problem) {
			if len(q.Board.Stations) > 1 {
				q.Board.Stations = slices.Delete(q.Board.Stations, i, i+1)
			}
		})
	}
	for i := range p.Items {
		add(itemChanges(i, len(p.Items[i].Cuts), len(p.Items[i].Accepts))...)
	}
	for _, grain := range []unit.Length{10 * mm, mm, mm / 10, unit.Micrometre} {
		lengths(p, func(n int) {
			add(func(q *oracle.Problem) { roundOne(q, n, grain) })
		})
	}
	for i := range p.Items {
		for _, grain := range []int64{1_000_000_000, 1_000_000, 100_000, 1000} {
			add(func(q *oracle.Problem) { roundTo(&q.Items[i].Value, grain) }, func(q *oracle.Problem) { roundTo(&q.Items[i].Required, grain) })
			for k := range p.Items[i].Cuts {
				add(func(q *oracle.Problem) { roundTo(&q.Items[i].Cuts[k].Value, grain) })
			}
		}
	}
	return all
}

func roundTo(v *int64, grain int64) {
	if *v >= grain {
		*v = *v / grain * grain
	}
}

// travels narrows travels from either end, and fixes blades.
func travels(p *oracle.Problem) (all []change) {
	narrow := func(of func(*oracle.Problem) *saw.Travel) {
		for _, half := range []bool{true, false} {
			all = append(all, func(q *oracle.Problem) { cutTravel(&q.Saw, of(q), half, true) }, func(q *oracle.Problem) { cutTravel(&q.Saw, of(q), half, false) })
		}
		all = append(all, func(q *oracle.Problem) {
			t := of(q)
			t.Current = q.Saw.StepUp(t.Min)
		}, func(q *oracle.Problem) {
			t := of(q)
			t.Min, t.Max = min(q.Saw.StepUp(t.Min), t.Current), max(q.Saw.StepDown(t.Max), t.Current)
		})
	}
	narrow(func(q *oracle.Problem) *saw.Travel { return &q.Saw.Fence })
	for j, b := range p.Saw.Blades {
		if b.Moving {
			narrow(func(q *oracle.Problem) *saw.Travel { return &q.Saw.Blades[j].Travel })
			all = append(all, func(q *oracle.Problem) {
				b := &q.Saw.Blades[j]
				if up := q.Saw.StepUp(b.Travel.Min); up == q.Saw.StepDown(b.Travel.Max) {
					*b = saw.Blade{At: up}
				}
			})
		}
	}
	return all
}

func cutTravel(s *saw.Saw, t *saw.Travel, half, low bool) {
	lo, hi := s.StepUp(t.Min), s.StepDown(t.Max)
	less := s.Step
	if half {
		less = (hi - lo) / 2 / s.Step * s.Step
	}
	if hi-lo < less {
		return
	}
	if low {
		t.Min = lo + less
	} else {
		t.Max = hi - less
	}
	t.Current = min(max(t.Current, t.Min), t.Max)
}

func itemChanges(i, cuts, accepts int) (all []change) {
	on := func(f func(*order.Item)) { all = append(all, func(q *oracle.Problem) { f(&q.Items[i]) }) }
	on(func(it *order.Item) { it.Measure, it.Required, it.Made, it.PieceLength = order.Unlimited, 0, 0, 0 })
	on(func(it *order.Item) { it.Required, it.Made = max(it.Required-it.Made, 0), 0 })
	on(func(it *order.Item) { it.Required = (it.Required + it.Made) / 2 })
	on(func(it *order.Item) { it.PieceLength = 0 })
	on(func(it *order.Item) { it.Tolerance = 0 })
	on(func(it *order.Item) { it.LeastLength = 0 })
	on(func(it *order.Item) { it.GreatestLength = 0 })
	on(func(it *order.Item) { it.Joint, it.Panel = 0, 0 })
	on(func(it *order.Item) { it.Basis = order.PerArea })
	on(func(it *order.Item) { it.CutKerf = 0 })
	on(func(it *order.Item) { it.EndTrim = 0 })
	on(func(it *order.Item) {
		if len(it.Cuts) > 0 {
			it.Cuts, it.CutKerf, it.EndTrim, it.Value = nil, 0, 0, 1_000_000
		}
	})
	on(func(it *order.Item) { it.Min = it.Max })
	on(func(it *order.Item) {
		if it.Min == it.Max && it.Joint == 0 {
			it.Random = false
		}
	})
	for k := range cuts {
		on(func(it *order.Item) {
			if len(it.Cuts) > 1 {
				it.Cuts = slices.Delete(it.Cuts, k, k+1)
			}
		})
		on(func(it *order.Item) { it.Cuts[k].Limited, it.Cuts[k].Required, it.Cuts[k].Made = false, 0, 0 })
	}
	for k := range accepts {
		on(func(it *order.Item) { it.Accepts = slices.Delete(it.Accepts, k, k+1) })
	}
	return all
}

// lengths calls f with a number for every length that may be rounded.
func lengths(p *oracle.Problem, f func(n int)) {
	for n := range rounded(p) {
		f(n)
	}
}

// rounded gives pointers to the lengths that may be rounded.
func rounded(p *oracle.Problem) (all []*unit.Length) {
	b, s := &p.Board, &p.Saw
	all = append(all, &b.Length, &s.Kerf, &s.Trim, &s.Gap, &s.LeastStrip, &s.Rerip.Width)
	for i := range b.Stations {
		all = append(all, &b.Stations[i].X, &b.Stations[i].Near, &b.Stations[i].Far)
	}
	for i := range b.Defects {
		d := &b.Defects[i]
		all = append(all, &d.FromX, &d.ToX, &d.FromY, &d.ToY)
	}
	for i := range s.Blades {
		all = append(all, &s.Blades[i].At)
	}
	for i := range p.Items {
		it := &p.Items[i]
		all = append(all, &it.Min, &it.Max, &it.LeastLength, &it.Tolerance, &it.PieceLength, &it.Joint, &it.CutKerf, &it.EndTrim)
		for k := range it.Cuts {
			all = append(all, &it.Cuts[k].Length)
		}
	}
	return all
}

func roundOne(p *oracle.Problem, n int, grain unit.Length) {
	v := rounded(p)[n]
	*v = *v / grain * grain
	for i := range p.Items {
		if it := &p.Items[i]; !it.Random { // a fixed width is stored twice
			if v == &it.Min {
				it.Max = it.Min
			}
			it.Min = it.Max
		}
	}
}
