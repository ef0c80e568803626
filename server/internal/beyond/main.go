// Command beyond measures how much processor time the service uses for answers beyond
// their limits of time, and where. It draws the requests that `clients/worst limits` sends
// and has them answered in its own process, on one thread, whose clock is the service's: so
// other load of the machine affects only the shared processor caches. It exits with 1 if
// the service does not keep what its guides promise.
package main

import (
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"github.com/ripwright/ripwright/proto/codec"
)

type options struct {
	seed    uint64
	n       int     // requests
	slack   float64 // factor on the promises up to which it passes
	verbose bool
	profile string
	only    int
}

func main() {
	codec.Register()
	var o options
	pflag.Uint64Var(&o.seed, "seed", 1, "seed of the requests")
	pflag.IntVar(&o.n, "requests", 300, "number of requests")
	pflag.Float64Var(&o.slack, "slack", 1, "factor on the promised times, for a slow machine")
	pflag.BoolVar(&o.verbose, "verbose", false, "print every request")
	pflag.StringVar(&o.profile, "profile", "", "write a CPU profile to this file, with a label on work beyond a limit")
	pflag.IntVar(&o.only, "only", -1, "send only the request of this number, several times")
	pflag.Parse()
	if pflag.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "beyond: there are no arguments but flags; see --help")
		os.Exit(2)
	}
	if err := beyond(o); err != nil {
		fmt.Fprintln(os.Stderr, "beyond:", err)
		os.Exit(1)
	}
}
