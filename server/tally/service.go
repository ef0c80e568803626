// Package tally answers TallyPack: it turns the packs of a request into the
// solver's exact types, names what is wrong by its path in the request, and
// writes out what the packs come to.
package tally

import (
	"context"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
)

// Service implements ripwright.v1.TallyService. It keeps nothing between calls
// and may be used by any number of goroutines.
type Service struct {
	ripwrightv1.UnimplementedTallyServiceServer

	turn chan struct{}
}

// New makes a service that works on so many requests at once. The others wait:
// nobody's board stands still for a tally, and live boards need the cores.
func New(atOnce int) *Service {
	return &Service{turn: make(chan struct{}, max(atOnce, 1))}
}

// TallyPack implements the call of that name.
func (s *Service) TallyPack(ctx context.Context, m *ripwrightv1.TallyPackRequest) (*ripwrightv1.TallyPackResponse, error) {
	select {
	case s.turn <- struct{}{}:
		defer func() { <-s.turn }()
	case <-ctx.Done():
	}
	if err := ctx.Err(); err != nil {
		return nil, status.FromContextError(err).Err()
	}
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
