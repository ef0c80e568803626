package line

import (
	"context"
	"errors"
	"io"
	"slices"
	"time"

	"go.uber.org/zap"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/clients/session"
	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// ask has a message answered, however long service and books take. late is called with
// the reason why there is no answer yet; nil: not called.
func (c *clerk) ask(ctx context.Context, m *ripwrightv1.RunLineRequest, about books.Message, late func(contract.Reason)) (*ripwrightv1.RunLineResponse, error) {
	for {
		c.books.For(about)
		a, err := c.session.Ask(ctx, m)
		if err == nil {
			c.healthy(ctx, true)
			return a, nil
		}
		reason := contract.OutOfReach
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case errors.Is(err, books.ErrNotWritten):
			reason = contract.BooksFail
		case !passes(err):
			return nil, err
		}
		c.healthy(ctx, false)
		c.log.Warn("no answer yet", zap.Int32("sequence", m.GetSequence()), zap.Error(err))
		if late != nil {
			late(reason)
		}
		c.turnAway(ctx, reason)
		if err := pause(ctx); err != nil {
			return nil, err
		}
	}
}

// turnAway declines the boards that came in the meantime, with the reason, except for
// those whose plan is in the books.
func (c *clerk) turnAway(ctx context.Context, why contract.Reason) {
	for more := true; more; {
		select {
		case j := <-c.jobs:
			c.sort(j)
		default:
			more = false
		}
	}
	c.boards = slices.DeleteFunc(c.boards, func(j job) bool {
		if c.books.Board(j.of) != nil {
			return false
		}
		c.say(ctx, news{of: j.of, answer: handover.Answer{Reason: why}})
		return true
	})
}

// passes distinguishes errors after which the same message may be answered from those
// that end the run.
func passes(err error) bool {
	if errors.Is(err, session.ErrLate) || errors.Is(err, io.EOF) {
		return true
	}
	switch status.Code(err) {
	case codes.Unavailable, codes.DeadlineExceeded, codes.ResourceExhausted, codes.Internal, codes.Canceled, codes.Aborted:
		return true
	}
	return false
}

func (c *clerk) healthy(ctx context.Context, well bool) {
	if c.well != well {
		c.well = well
		c.say(ctx, news{health: true, well: well})
	}
}

func pause(ctx context.Context) error {
	select {
	case <-time.After(100 * time.Millisecond):
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
