package line

import (
	"context"
	"errors"
	"sync"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/overlap"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/wood"
)

// Planner plans in the background, within its own bounds.
type Planner interface {
	// Behind waits for a worker, runs work on it and returns how long work took. The
	// options passed to work say when to end, spread it over free workers and bound its
	// searches. The error is work's own or a status.
	Behind(ctx context.Context, work func(values.Options) error) (time.Duration, error)
}

// pricing is the planning of a run's values on one stream. It belongs to the session's
// goroutine; only plan runs in another.
type pricing struct {
	*Server
	course *replan.Course
	// done gets the outcome of the planning under way, and stop ends it; both are nil if
	// there is none.
	done chan outcome
	stop context.CancelFunc
	all  sync.WaitGroup
}

// outcome is the result of a planning: values, or the reason why there are none.
type outcome struct {
	task *replan.Task
	set  *replan.Set
	why  string
	// ahead is the next order if it was planned for that; empty: for the one in force.
	ahead string
}

// firstValues is how long a set-up with expected boards waits for the first values.
const firstValues = 10 * time.Second

// first plans the values with which a run begins.
func (s *session) first(ctx context.Context) {
	s.prices.course.Sample.Expect(s.line.Planning.Expected)
	if len(s.line.Planning.Expected) == 0 {
		return
	}
	if s.plan(ctx); s.prices.done == nil {
		return
	}
	wait := time.NewTimer(firstValues)
	defer wait.Stop()
	select {
	case o := <-s.prices.done:
		s.prices.take(o)
	case <-wait.C:
	case <-ctx.Done():
	case <-s.cfg.Closing.Done():
	}
}

// ready puts values into force that were planned since the last board.
func (p *pricing) ready() {
	select {
	case o := <-p.done:
		p.take(o)
	default:
	}
}

// readyAhead keeps values that were planned for the next order since the last board.
func (p *pricing) readyAhead() {
	select {
	case o := <-p.done:
		if o.ahead != "" {
			p.take(o)
		}
	default:
	}
}

func (p *pricing) take(o outcome) {
	if o.ahead != "" {
		p.course.TakeAhead(o.ahead, o.task, o.set)
	} else {
		p.course.Take(o.task, o.set, o.why)
	}
	p.stop()
	p.done, p.stop = nil, nil
}

// underWay reports whether a planning has not ended yet. The result of one that has ended
// waits for the next board.
func (p *pricing) underWay() bool { return p.done != nil && len(p.done) == 0 }

// drop ends a planning under way whose outcome is no longer wanted.
func (p *pricing) drop() {
	if p.stop != nil {
		p.stop()
	}
	p.done, p.stop = nil, nil
}

// close ends what the session runs in the background.
func (p *pricing) close() {
	p.drop()
	p.all.Wait()
}

// due plans values again if it is time to.
func (s *session) due(ctx context.Context) {
	if p := s.prices; p.done == nil && p.course.Due(s.line.Planning.Every) {
		s.plan(ctx)
	}
}

// plan begins to plan values for what is open, if anything is.
func (s *session) plan(ctx context.Context) {
	items := order.CloneItems(s.line.Items)
	s.run.Stand(items)
	t := s.prices.course.Task(s.line.PlanningSaw(), items, s.line.Planning.Rules, s.line.Planning.Lost)
	if t != nil {
		if s.bays != nil {
			t.Through(s.bays, s.line.Stacks())
		}
		s.prices.begin(ctx, t, "")
	}
}

// begin begins a planning, for the next order if one is named.
func (p *pricing) begin(ctx context.Context, t *replan.Task, ahead string) {
	ctx, p.stop = context.WithCancel(ctx)
	done := make(chan outcome, 1)
	p.done = done
	p.all.Go(func() {
		o := p.plan(ctx, t)
		o.ahead = ahead
		done <- o
	})
}

// lookAhead begins to plan values for the next order once little is open of the one in
// force: as much as is cut from one planning to the next.
func (s *session) lookAhead(ctx context.Context, b *wood.Board) {
	every := s.line.Planning.Every
	next := s.follower()
	if s.prices.done != nil || next == nil || !s.prices.course.DueAhead(next.OrderID, every) {
		return
	}
	items := order.CloneItems(s.line.Items)
	s.run.Stand(items)
	if !overlap.Nearly(items, b, every*1_000_000) {
		return
	}
	items = order.CloneItems(next.Items)
	s.run.StandOf(next.OrderID, items)
	if t := s.prices.course.TaskAhead(s.line.PlanningSaw(), items, s.line.Planning.Rules, s.line.Planning.Lost); t != nil {
		s.prices.begin(ctx, t, next.OrderID)
	}
}

// plan does a planning. No failure in it may reach the stream, let alone other callers.
func (p *pricing) plan(ctx context.Context, t *replan.Task) (o outcome) {
	o.task = t
	began := p.cfg.Now()
	defer func() {
		if recover() != nil {
			p.cfg.Watch.Panic()
			o.set, o.why = nil, "internal error"
			p.cfg.Watch.ValuesPlanned("failed", p.cfg.Now().Sub(began))
		}
	}()
	took, err := p.cfg.Planner.Behind(ctx, func(with values.Options) (err error) {
		o.set, err = t.Plan(with)
		return err
	})
	switch {
	case err == nil:
		p.cfg.Watch.ValuesPlanned("planned", took)
		return o
	case ctx.Err() != nil: // nobody waits for it
		return o
	}
	outcome := "failed"
	switch code := status.Code(err); {
	case errors.Is(err, replan.ErrStopped):
		outcome, o.why = "late", "it took longer than the service allows for planning a line"
	case errors.Is(err, replan.ErrNothing):
		o.why = err.Error()
	case code == codes.ResourceExhausted, code == codes.DeadlineExceeded:
		outcome, o.why = "busy", "other planning kept every worker busy"
	default:
		o.why = "no values could be worked out"
	}
	o.set = nil
	p.cfg.Watch.ValuesPlanned(outcome, took)
	return o
}

// ordered has values planned for another order at once.
func (s *session) ordered(ctx context.Context, before string) {
	if s.line.Planning != nil {
		if s.line.OrderID != before {
			s.prices.readyAhead()
		}
		s.prices.drop()
		if s.line.OrderID != before {
			s.prices.course.Begin(s.line.OrderID)
		} else {
			s.prices.course.Ordered(false)
		}
		s.due(ctx)
	}
}

// sawn has values planned for another saw at once.
func (s *session) sawn(ctx context.Context) {
	if s.line.Planning != nil {
		s.prices.drop()
		s.prices.course.Anew()
		s.due(ctx)
	}
}

// inForce gives the items' values, if the run plans them.
func (s *session) inForce() *ripwrightv1.ValuesInForce {
	if s.line.Planning == nil {
		return nil
	}
	return s.line.InForce(s.prices.course)
}

// price gives a board's items the values in force.
func (s *session) price(j *wire.Job) {
	if s.line.Planning != nil {
		before := s.prices.course.Force
		s.prices.ready()
		if s.line.Bays != nil {
			s.prices.course.Leave(before)
		}
		s.prices.course.Price(j.Problem.Items, &j.Problem.Board)
		s.prices.course.Cut(j.Problem.Items)
	}
}

// seen records a board that was planned.
func (s *session) seen(ctx context.Context, j *wire.Job) {
	if s.line.Planning != nil {
		s.prices.course.Sample.Add(&j.Problem.Board)
		s.due(ctx)
		s.lookAhead(ctx, &j.Problem.Board)
	}
}
