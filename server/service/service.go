// Package service answers the calls about boards: it reads a request, waits for its turn,
// lets the solver work within the caller's time and writes the answer.
package service

import (
	"context"
	"time"

	"go.uber.org/zap"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/gate"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/rip"
)

// Config bounds what a service does at once.
type Config struct {
	Solves  int           // boards solved at once
	Waiting int           // boards that may wait for their turn
	Each    int           // how many of these one caller may have; 0: all
	Longest time.Duration // the longest search, whatever the caller asks for
	Memory  int64         // bytes of one search; 0: rip.DefaultMemory
	Room    *memory.Room  // that boards hold; nil: any amount
	Record  Recorder      // nil: nothing is recorded
	Solver  Solver        // nil: the solver
	// Withheld reports plans that fail their check; nil: only Watcher is told.
	Withheld *withhold.Desk
}

// Solver answers what is asked about a board. The error is a fault.List.
type Solver interface {
	Solve(*wire.Job) (*rip.Result, error)
	// SolveFrom is Solve with a valid plan to start from.
	SolveFrom(*wire.Job, *rip.Plan) (*rip.Result, error)
	// Check scores the setting of a job.
	Check(*wire.Job) (*rip.Checked, error)
}

// solver is the one of package rip.
type solver struct{}

func (solver) Solve(j *wire.Job) (*rip.Result, error) { return j.Solve() }

func (solver) SolveFrom(j *wire.Job, known *rip.Plan) (*rip.Result, error) { return j.SolveFrom(known) }

func (solver) Check(j *wire.Job) (*rip.Checked, error) { return j.Check() }

// Recorder records requests and answers.
type Recorder interface {
	// Wants reports whether the next board is to be recorded.
	Wants() bool
	Board(caller string, asked *ripwrightv1.SolveBoardRequest, answer *ripwrightv1.SolveBoardResponse)
}

// Watcher is told of events, for metrics.
type Watcher interface {
	Waited(time.Duration)
	Shed()
	TurnedAway(caller, limit string)
	Solving(int)
	Planned(caller string, j *wire.Job, r *rip.Result, took time.Duration)
	withhold.Watcher
}

// Service implements ripwright.v1.RipService. It keeps nothing between calls
// and may be used by any number of goroutines.
type Service struct {
	ripwrightv1.UnimplementedRipServiceServer

	saws  wire.Saws
	cfg   Config
	gate  *gate.Gate
	watch Watcher
	now   func() time.Time
}

// New makes a service.
func New(saws wire.Saws, cfg Config, watch Watcher, now func() time.Time) *Service {
	boards := gate.New(cfg.Solves, cfg.Waiting, "boards", retryAfter)
	if cfg.Each == 0 {
		cfg.Each = cfg.Waiting
	}
	boards.Share(cfg.Each, func(caller string, own bool) {
		watch.Shed()
		limit := "waiting"
		if own {
			limit = "caller_waiting"
		}
		watch.TurnedAway(caller, limit)
	})
	if cfg.Solver == nil {
		cfg.Solver = solver{}
	}
	if cfg.Withheld == nil {
		cfg.Withheld = &withhold.Desk{Log: zap.NewNop(), Watch: watch}
	}
	return &Service{saws: saws, cfg: cfg, gate: boards, watch: watch, now: now}
}

// came makes time limits count from now if it is unknown when the request arrived.
func (s *Service) came(ctx context.Context) context.Context {
	now := s.now()
	return arrival.With(ctx, arrival.Of(ctx, now))
}

// Waiting is how many boards wait for their turn.
func (s *Service) Waiting() int64 { return s.gate.Waiting() }

// State reports how full the queue is, with at most that many of the callers that wait.
func (s *Service) State(callers int) gate.State { return s.gate.State(callers) }

// SolveBoard implements the call of that name.
func (s *Service) SolveBoard(ctx context.Context, m *ripwrightv1.SolveBoardRequest) (*ripwrightv1.SolveBoardResponse, error) {
	ctx = s.came(ctx)
	j, err := wire.Solve(m, s.saws)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var r *rip.Result
	took, err := s.turn(ctx, j, memory.Of(m), 0, func() (err error) {
		r, err = s.solve(ctx, j)
		return err
	})
	var answer *ripwrightv1.SolveBoardResponse
	if err == nil {
		answer = j.Solved(r, took)
		err = withhold.Solved(j, r, answer)
	}
	if err != nil {
		return nil, s.failed(ctx, "SolveBoard", m, err)
	}
	s.watch.Planned(caller.Of(ctx), j, r, took)
	if s.cfg.Record != nil && s.cfg.Record.Wants() {
		s.cfg.Record.Board(caller.Of(ctx), m, answer)
	}
	return answer, nil
}

// CheckPlan implements the call of that name.
func (s *Service) CheckPlan(ctx context.Context, m *ripwrightv1.CheckPlanRequest) (*ripwrightv1.CheckPlanResponse, error) {
	ctx = s.came(ctx)
	j, err := wire.Check(m, s.saws)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var c *rip.Checked
	var best *rip.Result
	var told *wire.Explainer
	took, err := s.turn(ctx, j, memory.Of(m), 0, func() (err error) {
		if c, err = s.cfg.Solver.Check(j); err != nil {
			return err
		}
		if m.GetExplain() {
			told = j.Explain(s.now)
		}
		// A setting that breaks no rule is a plan to start from, so that its distance
		// from the optimum reflects the plans, not how soon a limit ended the search.
		if len(c.Broken) == 0 {
			best, err = s.cfg.Solver.SolveFrom(j, c.Plan)
		} else {
			best, err = s.cfg.Solver.Solve(j)
		}
		if err == nil {
			err = here(ctx)
		}
		if err != nil {
			return err
		}
		return withhold.Checked(j, c, best)
	})
	var answer *ripwrightv1.CheckPlanResponse
	if err == nil {
		answer = j.Checked(c, best, took)
		if told != nil {
			answer.Explanation = told.Explanation(j, c, best)
		}
		err = withhold.Scored(j, c, best, answer)
	}
	if err != nil {
		return nil, s.failed(ctx, "CheckPlan", m, err)
	}
	return answer, nil
}
