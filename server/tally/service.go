// Package tally answers TallyPack: it converts the packs of a request to the solver's
// exact types, reports faults by their paths in the request, and writes the accounts of
// the packs.
package tally

import (
	"context"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/workers"
)

// Service implements ripwright.v1.TallyService. It keeps nothing between calls
// and may be used by any number of goroutines.
type Service struct {
	ripwrightv1.UnimplementedTallyServiceServer

	workers  *workers.Workers
	currency string // of prices, if a request gives none
}

// New makes a service. No board waits for a tally: it shares the workers of planning.
// currency is that of prices if a request gives none.
func New(w *workers.Workers, currency string) *Service {
	return &Service{workers: w, currency: currency}
}

// TallyPack implements the call of that name.
func (s *Service) TallyPack(ctx context.Context, m *ripwrightv1.TallyPackRequest) (*ripwrightv1.TallyPackResponse, error) {
	j, err := read(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var out *ripwrightv1.TallyPackResponse
	err = s.workers.Do(ctx, "TallyPack", memory.Of(m), func() error {
		r, err := j.terms.Account(j.packs)
		if err != nil {
			// What was read without a fault is within the solver's bounds.
			return refuse.Internal()
		}
		out = j.answer(r)
		if out.Currency = m.GetCurrency(); out.Currency == "" {
			out.Currency = s.currency
		}
		return nil
	})
	return out, err
}
