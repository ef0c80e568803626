package line

import (
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// choose has a board planned with the items that have a bay of the outfeed. Until lie,
// nothing changes. Nil: there are no bays.
func (s *session) choose(j *wire.Job) (next *bays.Bays, changes []bays.Change, err error) {
	if s.line.Bays == nil {
		return nil, nil, nil
	}
	next, changes, err = s.line.ChooseBays(s.bays, j, s.prices.course.TurnOf)
	if err == nil && s.line.Planning != nil {
		if own := j.Own(); s.prices.course.PriceThrough(j.Problem.Items[:own], &j.Problem.Board, next, j.Stacks()[:own]) {
			s.prices.course.Cut(j.Problem.Items[:own])
		}
	}
	s.free(j)
	j.Measure = int(s.run.Totals.Planned)%s.line.Bays.Every == 0 && j.Instructed() == nil
	return next, changes, err
}

// free has a board also planned by the books without the limit of bays, if that can
// differ: the order can be filled, and is not.
func (s *session) free(j *wire.Job) {
	own := j.Problem.Items[:j.Own()]
	if !bays.Ends(own) || order.Full(own) {
		return
	}
	j.FreeItems = order.CloneItems(s.line.Items)
	s.run.StandFree(j.FreeItems)
	if s.line.Planning != nil {
		s.prices.course.PriceFree(j.FreeItems, &j.Problem.Board)
	}
}

// lie puts the bays into force with which a board was planned.
func (s *session) lie(j *wire.Job, r *rip.Result, next *bays.Bays, changes []bays.Change) {
	if next == nil {
		return
	}
	s.bays = next
	if len(changes) > 0 && s.line.Planning != nil {
		s.prices.course.Moved = s.prices.course.Sample.Seen + 1 // including this board
	}
	s.run.Bays(wire.Moved(changes))
	next.Cut(func(of bays.Stack) bool {
		for k := range r.Best.Pockets {
			if i := r.Best.Pockets[k].Item; i != rip.None && j.Stack(i) == of {
				return true
			}
		}
		return false
	})
	worth, free, bound, measured := j.BaysCost(r)
	if !measured {
		return
	}
	s.run.BaysCost(j.Problem.Board.Face(), worth, free, bound)
	if lost := free.Sub(worth); !s.line.Bays.Cost.IsZero() && lost.Cmp(unit.Worth{}) > 0 {
		if of, ok := j.Wanting(); ok {
			for range s.line.Bays.Every { // it represents that many boards
				next.Lose(of, lost)
			}
		}
	}
}
