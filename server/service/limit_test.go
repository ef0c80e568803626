package service

import (
	"context"
	"testing"
	"time"
)

// due is a context that only reports a deadline, so that a test's own clock decides.
type due struct {
	context.Context
	at time.Time
}

func (d due) Deadline() (time.Time, bool) { return d.at, !d.at.IsZero() }

// The search ends at the earliest of its limits, and before a deadline by a reserve of a
// tenth, at least 2 ms and at most 50 ms.
func TestStopper(t *testing.T) {
	const ms = time.Millisecond
	start := time.Unix(1000, 0)
	for _, c := range []struct {
		deadline, own, most, want time.Duration
	}{
		{0, 0, 500 * ms, 500 * ms},
		{0, 30 * ms, 500 * ms, 30 * ms},
		{0, 900 * ms, 500 * ms, 500 * ms},
		{5 * ms, 0, 500 * ms, 3 * ms},
		{20 * ms, 0, 500 * ms, 18 * ms},
		{100 * ms, 0, 500 * ms, 90 * ms},
		{900 * ms, 0, 5000 * ms, 850 * ms},
		{100 * ms, 95 * ms, 500 * ms, 90 * ms},
		{100 * ms, 20 * ms, 500 * ms, 20 * ms},
		{1 * ms, 0, 500 * ms, 0}, // too little for any search
	} {
		ctx := due{Context: context.Background()}
		if c.deadline > 0 {
			ctx.at = start.Add(c.deadline)
		}
		now := start
		stop := stopper(ctx, func() time.Time { return now }, start, c.own, c.most)
		if c.want > 0 {
			now = start.Add(c.want - time.Nanosecond)
			if stop() {
				t.Errorf("%+v: stopped before its time limit", c)
			}
		}
		now = start.Add(c.want)
		if !stop() {
			t.Errorf("%+v: continued past its time limit", c)
		}
	}
}

// Work for a caller that has left is stopped.
func TestStopperSeesThatTheCallerHasGone(t *testing.T) {
	ctx, gone := context.WithCancel(context.Background())
	stop := stopper(ctx, time.Now, time.Now(), 0, time.Hour)
	if stop() {
		t.Fatal("stopped at once")
	}
	gone()
	if !stop() {
		t.Error("continued after its caller had left")
	}
}
