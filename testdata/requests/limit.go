package requests

import (
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// SetLimit sets the time limit of a request, in ms.
func SetLimit(m proto.Message, ms float64) {
	switch m := m.(type) {
	case *ripwrightv1.SolveBoardRequest:
		m.Options.TimeLimitMs = given(ms)
	case *ripwrightv1.CheckPlanRequest:
		m.Options.TimeLimitMs = given(ms)
	case *ripwrightv1.DrawPlanRequest:
		m.Options.TimeLimitMs = given(ms)
	case *ripwrightv1.PlanValuesRequest:
		m.TimeLimitMs = given(ms)
	case *ripwrightv1.QuoteOrderRequest:
		m.TimeLimitMs = given(ms)
	case *ripwrightv1.WatchQuoteRequest:
		SetLimit(m.GetQuote(), ms)
	case *ripwrightv1.SequenceOrdersRequest:
		m.TimeLimitMs = given(ms)
	case *ripwrightv1.ShareOrderRequest:
		m.TimeLimitMs = given(ms)
	case *ripwrightv1.PlanArborRequest:
		m.TimeLimitMs = given(ms)
	}
}

// given gives nil for 0, which means left out.
func given[T int32 | float64](v T) *T {
	if v == 0 {
		return nil
	}
	return &v
}
