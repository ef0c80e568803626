package sim

import (
	"fmt"
	"io"
	"slices"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Report is the result of a simulated line.
type Report struct {
	Summary *ripwrightv1.RunSummary
	Wrong   []string // errors of the service, the first ones
	Streams int      // how often the run was resumed
	Breaks  int      // deliberate breaks among them
	Late    int      // answers after their deadline
	Missed  int      // boards without a plan because the service was busy or late
	// Stopped is the number of boards not fed because an axis did not stand where it was
	// sent.
	Stopped int
	// Idle is the number of boards not fed because nothing was to be gained.
	Idle int
	// Instructed is the number of boards with operator's instructions.
	Instructed int
	// Two is the number of boards that served two orders.
	Two int
	// Insisted is how often a board was sent again because of that.
	Insisted int
	// Slowest is the longest time from the first sending of a board's message to its plan.
	Slowest time.Duration
	Took    time.Duration
	// Values at the end of the run; nil if it planned none.
	Values *ripwrightv1.ValuesInForce

	latencies []time.Duration // from a board's message to its plan
}

// mostWrong limits the list.
const mostWrong = 20

func (r *Report) wrong(format string, args ...any) {
	if len(r.Wrong) < mostWrong {
		r.Wrong = append(r.Wrong, fmt.Sprintf(format, args...))
	}
}

// Latency gives the quantile of the latencies, for a fraction of boards from 0 to 1.
// Boards that were sent again after a break are left out.
func (r *Report) Latency(part float64) time.Duration {
	if len(r.latencies) == 0 {
		return 0
	}
	all := slices.Sorted(slices.Values(r.latencies))
	return all[min(int(part*float64(len(all))), len(all)-1)]
}

// Print writes the report for people.
func (r *Report) Print(w io.Writer) {
	s := r.Summary
	fmt.Fprintf(w, "%d boards planned, %d refused in %.1f s; the stream was resumed %d times and broken on purpose %d times\n",
		s.GetPlanned(), s.GetRefused(), r.Took.Seconds(), r.Streams, r.Breaks)
	fmt.Fprintf(w, "latency from board to plan: median %v, 95th percentile %v, 99th %v, longest %v; %d late, %d missed\n",
		r.Latency(0.5), r.Latency(0.95), r.Latency(0.99), r.Latency(1), r.Late, r.Missed)
	if v := r.Values; v != nil {
		fmt.Fprintf(w, "values in force at the end: number %d, planned after %d boards; %d plannings failed", v.GetNumber(), v.GetBoardsSeen(), v.GetFailed())
		if v.GetFailure() != "" {
			fmt.Fprintf(w, ", the last: %s", v.GetFailure())
		}
		fmt.Fprintln(w)
	}
	if r.Stopped+r.Idle > 0 {
		fmt.Fprintf(w, "%d boards not fed because an axis missed its position, %d because nothing was to be gained\n", r.Stopped, r.Idle)
	}
	for _, o := range s.GetOutcomes() {
		fmt.Fprintf(w, "  %-32s %6d boards\n", o.GetOutcome(), o.GetBoards())
	}
	a := s.GetAccount()
	fmt.Fprintf(w, "yield %.2f %% of %.2f m2, %.0f board feet; estimated saw time %.1f min\n",
		100*a.GetYieldRatio(), a.GetFaceM2(), a.GetBoardFeet(), s.GetCycleS()/60)
	for _, i := range s.GetItems() {
		fmt.Fprintf(w, "  %-12s to stack %-4s %6d strips %10.1f m %10.1f ft %9.3f m2\n",
			i.GetItemId(), i.GetStack(), i.GetStrips(), i.GetLengthM(), i.GetLengthFt(), i.GetAreaM2())
	}
	for _, wrong := range r.Wrong {
		fmt.Fprintf(w, "WRONG: %s\n", wrong)
	}
}
