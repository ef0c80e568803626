package main

import (
	"cmp"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/ripwright/ripwright/testdata/requests"
)

// figures of one answer.
type figures struct {
	what string
	// beyond the limit, of that since the end of the limit was noticed, and the longest
	// interval without a look at the clock.
	beyond, since, longest time.Duration
	gap                    [2][]uintptr
}

func (f *figures) String() string {
	return fmt.Sprintf("%v beyond the limit, %v since it was noticed, longest interval between checks %v: %s\n      from %s\n        to %s", f.beyond.Round(time.Microsecond), f.since.Round(time.Microsecond),
		f.longest.Round(time.Microsecond), f.what, named(f.gap[0]), named(f.gap[1]))
}

// named gives the nearest callers.
func named(pcs []uintptr) string {
	frames := runtime.CallersFrames(pcs)
	var out []string
	for {
		f, more := frames.Next()
		name := f.Function[strings.LastIndex(f.Function, "/")+1:]
		if !strings.Contains(name, "(*watch)") && !strings.Contains(name, ".stopper.") && !strings.HasPrefix(name, "budget.") {
			out = append(out, fmt.Sprintf("%s:%d", name, f.Line))
		}
		if !more || len(out) == 5 {
			return strings.Join(out, " < ")
		}
	}
}

// mostTold is how many of the worst are printed.
const mostTold = 5

// used prints the time used beyond the limits and reports whether that is too much.
func used(what string, of map[string][]figures, usual, most time.Duration, slack float64) error {
	all := of[what]
	if len(all) == 0 {
		return nil
	}
	slices.SortFunc(all, func(a, b figures) int { return cmp.Compare(a.beyond, b.beyond) })
	at := func(p float64) time.Duration {
		return all[min(int(p*float64(len(all))), len(all)-1)].beyond.Round(time.Microsecond)
	}
	fmt.Printf("%s, %d, processor time beyond their limit: median %v, 90th percentile %v, 99th %v, %gth %v, longest %v\n", what, len(all), at(0.5), at(0.9), at(0.99), 100*requests.Part, at(requests.Part), at(1))
	for i := range min(mostTold, len(all)) {
		fmt.Println("  ", &all[len(all)-1-i])
	}
	return requests.Promised(what, len(all), at(requests.Part), at(1), usual, most, slack)
}
