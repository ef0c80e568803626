// Package tally answers TallyPack: it turns the packs of a request into the
// solver's exact types, names what is wrong by its path in the request, and
// writes out what the packs come to.
package tally

import (
	"context"
	"sync/atomic"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
)

// Service implements ripwright.v1.TallyService. It keeps nothing between calls
// and may be used by any number of goroutines.
type Service struct {
	ripwrightv1.UnimplementedTallyServiceServer

	turn    chan struct{}
	waiting atomic.Int64
}

// mostWaiting bounds the requests that wait, which are held in memory; a tally
// of 5,000 boards takes some 20 ms, so the last of them waits for about a
// second.
const (
	mostWaiting = 64
	retryAfter  = time.Second
)

// New makes a service that works on so many requests at once. The others wait:
// nobody's board stands still for a tally, and live boards need the cores.
func New(atOnce int) *Service {
	return &Service{turn: make(chan struct{}, max(atOnce, 1))}
}

// TallyPack implements the call of that name.
func (s *Service) TallyPack(ctx context.Context, m *ripwrightv1.TallyPackRequest) (*ripwrightv1.TallyPackResponse, error) {
	if err := s.enter(ctx); err != nil {
		return nil, err
	}
	defer func() { <-s.turn }()
	j, err := read(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	r, err := j.terms.Account(j.packs)
	if err != nil {
		// What was read without a fault is within the solver's bounds.
		return nil, status.Error(codes.Internal, "internal error")
	}
	return j.answer(r), nil
}

// enter waits for a turn, which the caller gives back after a nil error.
func (s *Service) enter(ctx context.Context) error {
	defer s.waiting.Add(-1)
	if s.waiting.Add(1) > mostWaiting {
		return refuse.BusyWith("too many tallies are waiting", retryAfter)
	}
	select {
	case s.turn <- struct{}{}:
		return nil
	case <-ctx.Done():
		return status.FromContextError(ctx.Err()).Err()
	}
}
