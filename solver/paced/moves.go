package paced

import (
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// longest is the longest move of fence and blades to where a plan wants them.
func longest(s *saw.Saw, plan *rip.Plan) unit.Length {
	from, to := []unit.Length{s.Fence.Current}, []unit.Length{plan.Fence}
	for i, b := range s.Blades {
		if b.Moving {
			from, to = append(from, b.Travel.Current), append(to, plan.Blades[i])
		}
	}
	return run.Move(from, to)
}

// within gives the problem on a saw that moves nothing further than move.
func within(p *rip.Problem, move unit.Length) *rip.Problem {
	q := *p
	near := func(t *saw.Travel) {
		t.Min, t.Max = max(t.Min, t.Current-move), min(t.Max, t.Current+move)
	}
	near(&q.Saw.Fence)
	q.Saw.Blades = slices.Clone(q.Saw.Blades)
	for i := range q.Saw.Blades {
		if q.Saw.Blades[i].Moving {
			near(&q.Saw.Blades[i].Travel)
		}
	}
	return &q
}

// travels calls f with every travel of the saw.
func (s *search) travels(f func(*saw.Travel)) {
	f(&s.p.Saw.Fence)
	for i := range s.p.Saw.Blades {
		if b := &s.p.Saw.Blades[i]; b.Moving {
			f(&b.Travel)
		}
	}
}

// stopFrom and stopTo give the first stop at or beyond a, and the last up to it.
func (s *search) stopFrom(a unit.Length) unit.Length { return -s.stopTo(-a) }
func (s *search) stopTo(a unit.Length) unit.Length {
	step := s.p.Saw.Step
	r := a % step
	if r < 0 {
		r += step
	}
	return a - r
}

// down is the longest move of at most most that some axis can make; 0 if none.
func (s *search) down(most unit.Length) (move unit.Length) {
	s.travels(func(t *saw.Travel) {
		lo, hi := s.stopFrom(max(t.Min, t.Current-most)), s.stopTo(min(t.Max, t.Current+most))
		if lo <= hi {
			move = max(move, t.Current-lo, hi-t.Current)
		}
	})
	return move
}

// up is the shortest move of at least that some axis can make.
func (s *search) up(least unit.Length) unit.Length {
	move := 4 * saw.MaxPosition
	s.travels(func(t *saw.Travel) {
		if a := s.stopTo(t.Current - least); a >= t.Min {
			move = min(move, t.Current-a)
		}
		if a := s.stopFrom(t.Current + least); a <= t.Max {
			move = min(move, a-t.Current)
		}
	})
	return move
}

// least is the shortest longest move: no axis can do with less.
func (s *search) least() (move unit.Length) {
	s.travels(func(t *saw.Travel) {
		nearest := 4 * saw.MaxPosition
		if a := s.stopTo(t.Current); a >= t.Min {
			nearest = t.Current - a
		}
		if a := s.stopFrom(t.Current); a <= t.Max {
			nearest = min(nearest, a-t.Current)
		}
		move = max(move, nearest)
	})
	return move
}
