// Command worst starts the service as a process, draws the worst requests that its
// published limits allow, for every call and for live lines, and observes the process
// from outside. It exits with 1 if the service does not keep what its guides promise.
//
//	worst memory   resident memory in a container of 512 MiB, by hill climbing
//	worst limits   answers within their limits of time, and cancelled calls
//	worst others   what another caller's small boards wait for meanwhile, with memory
//	               and limits, compared with an idle service
//	worst stop     what signals do during hard searches
//
// On a busy machine answers are late that the service gave in time. So every time is
// reported with the time that the service's threads waited for a processor and with a
// control, and only what they cannot explain counts. server/internal/beyond measures the
// same requests within one process.
package main

import (
	"fmt"
	"os"
	"time"

	"github.com/spf13/pflag"

	"github.com/ripwright/ripwright/proto/codec"
)

type options struct {
	seed    uint64
	long    time.Duration // of memory
	n       int           // requests of limits
	slack   float64       // factor on the promises up to which limits passes
	atOnce  int
	verbose bool
}

func main() {
	codec.Register()
	var o options
	pflag.Uint64Var(&o.seed, "seed", 1, "seed of the requests")
	pflag.DurationVar(&o.long, "for", time.Minute, "memory, others: time for which to search for worse requests")
	pflag.IntVar(&o.n, "requests", 300, "limits: number of requests with a time limit")
	pflag.Float64Var(&o.slack, "slack", 1, "limits, others: factor on the promised times, for a slow or busy machine")
	pflag.IntVar(&o.atOnce, "at-once", 4, "memory: copies of a request to send at once, half of them as JSON")
	pflag.BoolVar(&o.verbose, "verbose", false, "print every request")
	pflag.Parse()
	run := map[string]func(options) error{"memory": memory, "limits": limits, "stop": stop, "others": others}[pflag.Arg(0)]
	if run == nil || pflag.NArg() != 1 {
		fmt.Fprintln(os.Stderr, "worst: the argument must be memory, limits, others or stop; see --help")
		os.Exit(2)
	}
	if err := run(o); err != nil {
		fmt.Fprintln(os.Stderr, "worst:", err)
		os.Exit(1)
	}
}
