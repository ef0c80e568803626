package wire

import (
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// A search that was stopped without a plan does not report that there is none, unless its
// bound shows it.
func TestNothingFound(t *testing.T) {
	j := &Job{Problem: rip.Problem{Items: []order.Item{{ID: "a"}}}}
	for _, c := range []struct {
		proven bool
		bound  uint64
		want   ripwrightv1.DoNotFeedReason
	}{
		{false, 1, ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_NOTHING_FOUND},
		{false, 0, ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_WORTH_NOTHING},
		{true, 0, ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_WORTH_NOTHING},
	} {
		r := &rip.Result{Best: &rip.Plan{}, Proven: c.proven, Bound: unit.Worth{Lo: c.bound}}
		if got := j.doNotFeed(r); got.GetReason() != c.want {
			t.Errorf("proven %v, bound %d: %v", c.proven, c.bound, got)
		}
	}
}
