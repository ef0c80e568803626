package wire

import (
	"fmt"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// doNotFeed reports that nothing can be gained by feeding a board; nil: something can.
func (j *Job) doNotFeed(r *rip.Result) *ripwrightv1.DoNotFeed {
	if says := j.disobeyed(r); says != nil {
		return says
	}
	net := j.net(r.Best)
	switch {
	case order.Full(j.Problem.Items) && r.Best.Worth.IsZero():
		return &ripwrightv1.DoNotFeed{Reason: ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_ORDER_FULL,
			Says: "do not feed: the order is full, by what is made and reserved"}
	case net.Cmp(unit.Worth{}) > 0:
		return nil
	case !r.Best.Worth.IsZero():
		return &ripwrightv1.DoNotFeed{Reason: ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_SAW_TIME,
			Says: fmt.Sprintf("do not feed: the best plan is worth %.4g, less than the saw's time that it takes", r.Best.Worth.Money())}
	case (r.Proven || r.Bound.Cmp(unit.Worth{}) <= 0) && len(j.Idle) > 0:
		return &ripwrightv1.DoNotFeed{Reason: ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_WORTH_NOTHING,
			Says: "do not feed: no plan of this board with the items that have a bay is worth anything"}
	case r.Proven || r.Bound.Cmp(unit.Worth{}) <= 0:
		return &ripwrightv1.DoNotFeed{Reason: ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_WORTH_NOTHING,
			Says: "do not feed: no plan of this board is worth anything"}
	}
	return &ripwrightv1.DoNotFeed{Reason: ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_NOTHING_FOUND,
		Says: "do not feed by this plan: the search was stopped before it found one that is worth anything"}
}
