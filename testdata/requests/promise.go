package requests

import (
	"fmt"
	"time"
)

// What the service promises on an idle core: nearly all answers leave within Usual of
// their limit, none later than Most; a cancelled call ends within Left.
const (
	Usual = 10 * time.Millisecond
	Most  = 25 * time.Millisecond
	Left  = 20 * time.Millisecond
	// Part is the fraction of answers that Usual applies to.
	Part = 0.999
)

// Promised reports whether the usual and the worst of n are within the promise, or slack
// times it. Of fewer than a thousand only the worst is compared.
func Promised(what string, n int, at, worst, usual, most time.Duration, slack float64) error {
	times := func(d time.Duration) time.Duration { return time.Duration(slack * float64(d)) }
	if n >= 1000 && at > times(usual) || worst > times(most) {
		return fmt.Errorf("%s: promised are %v for %g %% and %v for all", what, usual, 100*Part, most)
	}
	return nil
}
