package paced

import (
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// longest is the longest move of fence and blades to their places in a plan.
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
	q.Saw.Blades = slices.Clone(q.Saw.Blades)
	travels(&q.Saw, func(t *saw.Travel) {
		t.Min, t.Max = max(t.Min, t.Current-move), min(t.Max, t.Current+move)
	})
	return &q
}

// travels calls f with every travel of a saw.
func travels(s *saw.Saw, f func(*saw.Travel)) {
	f(&s.Fence)
	for i := range s.Blades {
		if b := &s.Blades[i]; b.Moving {
			f(&b.Travel)
		}
	}
}

// down is the longest move of at most most that some axis can make; 0 if none.
func (s *search) down(most unit.Length) (move unit.Length) {
	travels(&s.p.Saw, func(t *saw.Travel) {
		lo, hi := s.p.Saw.StepUp(max(t.Min, t.Current-most)), s.p.Saw.StepDown(min(t.Max, t.Current+most))
		if lo <= hi {
			move = max(move, t.Current-lo, hi-t.Current)
		}
	})
	return move
}

// none is longer than any move.
const none = 4 * saw.MaxPosition

// shortest is the shortest move of at least least that an axis can make, or none.
func (s *search) shortest(t *saw.Travel, least unit.Length) unit.Length {
	move := none
	if a := s.p.Saw.StepDown(min(t.Current-least, t.Max)); a >= t.Min {
		move = t.Current - a
	}
	if a := s.p.Saw.StepUp(max(t.Current+least, t.Min)); a <= t.Max {
		move = min(move, a-t.Current)
	}
	return move
}

// up is the shortest move of at least least that some axis can make.
func (s *search) up(least unit.Length) unit.Length {
	move := none
	travels(&s.p.Saw, func(t *saw.Travel) { move = min(move, s.shortest(t, least)) })
	return move
}

// least is the least longest move: some axis must move that far.
func (s *search) least() (move unit.Length) {
	travels(&s.p.Saw, func(t *saw.Travel) { move = max(move, s.shortest(t, 0)) })
	return move
}
