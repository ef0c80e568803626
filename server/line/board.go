package line

import (
	"context"
	"errors"
	"slices"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// inFlight is the error of a board that arrives while too many are under way.
type inFlight int

func (n inFlight) Error() string { return "too many boards under way" }

// board plans a board and reserves what it will make.
func (s *session) board(ctx context.Context, m *ripwrightv1.LineBoard, at message) (*ripwrightv1.RunLineResponse_Plan, error) {
	if err := s.turn(ctx); err != nil {
		return nil, err
	}
	j, within, now, err := s.line.Board(m)
	if err != nil {
		return nil, under("board", err, "board", "answer_within_ms", "measured_setting", "instructions")
	}
	if s.run.Waiting() >= s.run.InFlight {
		return nil, inFlight(s.run.InFlight)
	}
	s.run.Stand(j.Problem.Items)
	s.price(j)
	s.join(j)
	next, changes, err := s.choose(j)
	if err != nil {
		return nil, under("board", err, "instructions")
	}
	from := s.start(j, now)
	var asked *ripwrightv1.SolveBoardRequest
	if s.cfg.Record != nil && s.cfg.Record.Wants() && !j.ServesTwo() { // a request about one board has one order
		asked = s.line.Asked(j, m, s.setUp)
	}
	r, waited, took, err := s.cfg.Solver.Live(ctx, j, at.received, within-min(s.writing, within/2))
	s.known = s.cfg.Now()
	var plan *ripwrightv1.LinePlan
	if err == nil {
		plan = s.line.LinePlan(j, r, from, waited, took)
		s.line.Changed(plan, next, changes, s.served())
		err = withhold.Line(j, r, plan)
	}
	if err != nil {
		var w *withhold.Error
		if errors.As(err, &w) {
			s.cfg.Withheld.Tell(ctx, "RunLine", s.line.Asked(j, m, s.setUp), w)
		}
		return nil, under("board", err, "board", "instructions")
	}
	if now != nil {
		s.run.Measure(now.At, 0)
	}
	if j.FreeItems != nil {
		s.run.BeginFree()
	}
	held := j.Held(r)
	if n := wire.Moved(changes); n > 0 {
		held.Changes, held.Changing = int32(n), time.Duration(n)*s.line.Bays.Change // at most as many as there are bays
	}
	s.run.Reserve(held)
	s.lie(j, r, next, changes)
	if asked != nil {
		s.cfg.Record.Board(caller.Of(ctx), asked, j.Solved(r, took))
	}
	plan.SetAside = s.line.SetAside(s.prices.course, j, r)
	s.seen(ctx, j)
	return &ripwrightv1.RunLineResponse_Plan{Plan: plan}, nil
}

// start sets where the saw's axes are before a board, and says how that is known. now is
// their measured position, or nil.
func (s *session) start(j *wire.Job, now *wire.Stand) run.Known {
	var measured []unit.Length
	if now != nil {
		measured = now.At
	}
	at, from := s.run.Start(measured)
	if from.By == run.StandMeasured && now != nil {
		j.Stands(now)
	} else {
		j.Place(at)
	}
	return from
}

// confirm settles a board.
func (s *session) confirm(m *ripwrightv1.CutConfirmation) (*ripwrightv1.RunLineResponse_Settled, error) {
	c, faults := s.line.Confirmation(m)
	var settled *run.Settled
	var verdict run.Verdict
	if len(faults) == 0 {
		c.Against = &s.cfg.Against
		if slices.ContainsFunc(c.Strips, func(m run.Measured) bool { return m.Pocket > 0 }) {
			s.run.Watch(s.line.Drift)
		}
		settled, verdict, faults = s.run.Confirm(c)
	}
	if len(faults) > 0 {
		var below fault.List
		below.Within("confirmation", faults)
		return nil, below
	}
	// A resumed stream confirms again what this replica may have counted before the
	// stream broke: that changes the state, but metrics count it once.
	if settled != nil {
		if first, _ := s.once.first(s.key(c.Sequence), 0); first {
			s.cfg.Watch.Settled(s.caller, settled)
		}
	}
	out := &ripwrightv1.LineSettled{BoardSequence: c.Sequence, Result: wire.Verdicts[verdict]}
	if settled != nil {
		out.Doubts = wire.Doubts(settled.Doubts, "confirmation.")
		out.Drifts = wire.Turns(settled.Turns)
		s.released = settled.Released
	} else if verdict == run.CountedBefore {
		out.Doubts = wire.Doubts(s.run.Doubts(c.Sequence), "confirmation.")
	}
	return &ripwrightv1.RunLineResponse_Settled{Settled: out}, nil
}
