package line

import (
	"context"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/session"
	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// clerk has the books and the session with the service, one message after another. It
// receives jobs and sends news.
type clerk struct {
	books   *books.Books
	session *session.Session
	setUp   *ripwrightv1.LineSetUp
	within  time.Duration // time limit of answers
	jobs    chan job
	news    chan news
	log     *zap.Logger
	metrics *metrics
	tell    func(of handover.Board, a *ripwrightv1.RunLineResponse) // called with every answer
	sumUp   time.Duration                                           // after a result; 0: never

	boards  []job
	results []job
	left    map[handover.Board]bool
	old     map[handover.Board]bool // whose plan an earlier process may have handed over
	well    bool
	settled bool      // results since the last summary
	summed  time.Time // time of the last summary
}

// setUpWithin is the time limit of a set-up.
const setUpWithin = time.Minute

// job is one of several jobs.
type job struct {
	board   *ripwrightv1.Board // to be planned
	of      handover.Board
	leave   bool // board of is not cut by a plan
	collect bool
	boot    uint32
	taken   uint32
	results []books.Result
}

// news is one of several reports.
type news struct {
	of     handover.Board // the board that was answered
	answer handover.Answer
	plan   *ripwrightv1.LinePlan
	took   time.Duration // until it came
	books  time.Duration // part of it, for writing to the books
	taken  bool          // that many results of a boot are in the books
	boot   uint32
	count  uint32
	health bool // the health of service or books has changed
	well   bool
}

// run continues until the context ends, or with the error that ended the run.
func (c *clerk) run(ctx context.Context) error {
	defer c.session.Close()
	c.left, c.old = map[handover.Board]bool{}, map[handover.Board]bool{}
	for _, b := range c.books.Boards {
		c.old[b.Board] = true
	}
	c.session.Books = c.books
	c.session.Resumed = func(a *ripwrightv1.RunLineResponse) { c.tell(handover.Board{}, a) }
	c.session.Resume(c.books.Sequence, c.books.State)
	if err := c.begin(ctx); err != nil {
		return err
	}
	for {
		if len(c.boards)+len(c.results)+len(c.books.Results) == 0 {
			if err := c.wait(ctx); err != nil {
				return err
			}
		}
		for more := true; more; {
			select {
			case j := <-c.jobs:
				c.sort(j)
			default:
				more = false
			}
		}
		if err := c.next(ctx); err != nil {
			return err
		}
	}
}

// wait waits for a job, and requests a summary while there is none.
func (c *clerk) wait(ctx context.Context) error {
	var due <-chan time.Time
	if c.sumUp > 0 && c.settled {
		t := time.NewTimer(c.sumUp - time.Since(c.summed))
		defer t.Stop()
		due = t.C
	}
	select {
	case j := <-c.jobs:
		c.sort(j)
	case <-due:
		return c.sum(ctx)
	case <-ctx.Done():
		return ctx.Err()
	}
	return nil
}

// sum requests a summary of the run.
func (c *clerk) sum(ctx context.Context) error {
	c.settled, c.summed = false, time.Now()
	a, err := c.ask(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SumUp{SumUp: &ripwrightv1.LineSumUp{}}}, books.Message{}, nil)
	if err != nil {
		return err
	}
	c.tell(handover.Board{}, a)
	return nil
}

// begin asks the unanswered message, or sets up the run.
func (c *clerk) begin(ctx context.Context) error {
	m, err := c.books.Message()
	if err != nil {
		return err
	}
	about := books.Message{}
	switch {
	case m != nil:
		about = *c.books.About
	case c.books.Sequence == 0:
		m = &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: c.setUp}}
	default: // resumes with the next message
		c.healthy(ctx, true)
		return nil
	}
	if m.GetSetUp() != nil { // which may plan values first
		within := c.session.Within
		c.session.Within = setUpWithin
		defer func() { c.session.Within = within }()
	}
	a, err := c.ask(ctx, m, about, nil)
	if err != nil {
		return err
	}
	if m.GetSetUp() != nil && a.GetRefused() != nil {
		return status.Error(codes.InvalidArgument, a.GetRefused().String())
	}
	of := handover.Board{}
	switch {
	case about.Board != nil:
		of = *about.Board
	case about.Result != nil:
		of = *about.Result
	}
	c.tell(of, a)
	if about.Board != nil && a.GetPlan() != nil {
		c.log.Info("a board was requested again", zap.Uint32("number", about.Board.Number))
	}
	return nil
}

func (c *clerk) sort(j job) {
	switch {
	case j.board != nil:
		c.boards = append(c.boards, j)
	case j.leave:
		c.results = append(c.results, j)
		c.left[j.of] = true
	default:
		c.results = append(c.results, j)
	}
}

// next does one job: boards come first, since the saw waits for them.
func (c *clerk) next(ctx context.Context) error {
	switch {
	case len(c.boards) > 0:
		j := c.boards[0]
		c.boards = c.boards[1:]
		if c.left[j.of] && c.books.Board(j.of) == nil {
			return nil // it left before its plan was requested
		}
		return c.plan(ctx, j)
	case len(c.results) > 0:
		j := c.results[0]
		if err := c.take(ctx, j); err != nil {
			c.healthy(ctx, false)
			c.log.Error("results cannot be recorded", zap.Error(err))
			return pause(ctx)
		}
		c.results = c.results[1:]
		return nil
	case len(c.books.Results) > 0:
		return c.confirm(ctx, c.books.Results[0])
	}
	return nil
}

// plan requests the plan of a board, unless the books have it.
func (c *clerk) plan(ctx context.Context, j job) error {
	b := c.books.Board(j.of)
	if b == nil && c.books.Last == j.of { // its number is still shown, and its result has been sent
		c.say(ctx, news{of: j.of, answer: handover.Answer{Reason: contract.TooLate}})
		return nil
	}
	if b == nil {
		within := float64(c.within) / float64(time.Millisecond)
		m := &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: j.board, AnswerWithinMs: &within}}}
		late := false
		began, spent := time.Now(), c.books.Spent
		a, err := c.ask(ctx, m, books.Message{Board: &j.of}, func(r contract.Reason) {
			if !late {
				late = true
				c.say(ctx, news{of: j.of, answer: handover.Answer{Reason: r}})
			}
		})
		if err != nil {
			return err
		}
		c.tell(j.of, a)
		took, spent := time.Since(began), c.books.Spent-spent
		c.metrics.asked.Observe(took.Seconds())
		c.metrics.written.Observe(spent.Seconds())
		if a.GetPlan() == nil {
			c.log.Warn("the service has no plan for a board", zap.Uint32("number", j.of.Number), zap.Stringer("reason", reasonOf(a)), zap.Stringer("refusal", a.GetRefused()))
		}
		c.say(ctx, news{of: j.of, answer: handover.Answer{Reason: reasonOf(a)}, plan: a.GetPlan(), took: took, books: spent})
		return nil
	}
	a := &ripwrightv1.RunLineResponse{}
	if err := proto.Unmarshal(b.Answer, a); err != nil {
		return err
	}
	c.tell(j.of, a) // which the earlier process may not have done
	c.say(ctx, news{of: j.of, answer: handover.Answer{Reason: reasonOf(a)}, plan: a.GetPlan()})
	return nil
}

// take writes the outcomes of boards to the books.
func (c *clerk) take(ctx context.Context, j job) error {
	if j.leave {
		delete(c.left, j.of)
		if c.books.Board(j.of) == nil || c.old[j.of] {
			return nil
		}
		return c.books.Take(c.books.Boot, c.books.Taken, books.Result{Board: j.of, Outcome: contract.NotCut})
	}
	var of []books.Result
	for _, r := range j.results {
		if c.books.Board(r.Board) == nil {
			c.metrics.strange.Inc()
			c.log.Warn("a result for a board that awaits no result", zap.Uint32("boot", r.Boot), zap.Uint32("number", r.Number))
			continue
		}
		of = append(of, r)
	}
	if err := c.books.Take(j.boot, j.taken, of...); err != nil {
		return err
	}
	c.say(ctx, news{taken: true, boot: j.boot, count: j.taken})
	return nil
}

// confirm sends the outcome of a board to the service.
func (c *clerk) confirm(ctx context.Context, r books.Result) error {
	b := c.books.Board(r.Board)
	if b == nil { // a second result of one board
		return c.books.Drop(r.Board)
	}
	a := &ripwrightv1.RunLineResponse{}
	if err := proto.Unmarshal(b.Answer, a); err != nil {
		return err
	}
	m := &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: confirmation(b, a.GetPlan().GetPlan(), r)}}
	outcome := m.GetConfirmation().GetOutcome()
	answer, err := c.ask(ctx, m, books.Message{Result: &r.Board}, nil)
	if err != nil {
		return err
	}
	c.settled = true
	c.tell(r.Board, answer)
	c.metrics.settled.WithLabelValues(outcome.String()).Inc()
	if f := answer.GetRefused(); f != nil {
		c.log.Error("the service refused a result, which does not count", zap.Uint32("number", r.Number), zap.Stringer("refusal", f))
	}
	return nil
}

func (c *clerk) say(ctx context.Context, n news) {
	select {
	case c.news <- n:
	case <-ctx.Done():
	}
}
