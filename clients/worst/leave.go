package main

import (
	"context"
	"fmt"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// quiet is how much processor time a service without calls may use in an interval.
const (
	while = 4 * time.Millisecond
	quiet = 400 * time.Microsecond
)

// leave cancels a call after 60 ms and measures how long the service continues. A search
// that had ended by then shows nothing and counts as quiet at once.
func leave(s *service, what string, ask func(context.Context, float64) error) (late, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 60*time.Millisecond)
	defer cancel()
	err := ask(ctx, 5000)
	cancel()
	if c := status.Code(err); err != nil && c != codes.DeadlineExceeded && c != codes.Canceled {
		return late{}, fmt.Errorf("%s, cancelled: %w", what, err)
	}
	began, before := time.Now(), spent(s.PID())
	last := before
	for end := time.Duration(0); time.Since(began) < 10*time.Second; {
		time.Sleep(while)
		now := spent(s.PID())
		if now-last < quiet {
			return late{what, end, last - before}, nil
		}
		last, end = now, time.Since(began)
	}
	return late{}, fmt.Errorf("%s still runs 10 s after its caller cancelled", what)
}
