// Package memory finds out how much memory the process may use and divides it: a part for
// searches, and a part for what requests and lines hold meanwhile.
package memory

import (
	"math"
	"os"
	"runtime/debug"

	"github.com/KimMachineGun/automemlimit/memlimit"

	"github.com/ripwright/ripwright/solver/rip"
)

// ofContainer is the part of a container's memory to which Go's collector keeps; the rest
// is for what it does not count.
const ofContainer = 0.9

// growth is how far, in per cent of what is in use, the heap grows between two
// collections if there is a limit, near which the collector runs sooner. At Go's own 100
// a large request is read, solved and answered through several collections, which delay
// the latest answers.
const growth = 400

// Keep makes the collector keep to the container's memory unless GOMEMLIMIT sets a limit,
// and run less often below it unless GOGC says how often. It is called once, before
// Limit. If the system does not report the container's memory, that is no error: there is
// no limit then.
func Keep() {
	_, _ = memlimit.Set(memlimit.WithRatio(ofContainer), memlimit.WithProvider(memlimit.FromCgroup))
	if _, set := os.LookupEnv("GOGC"); !set && Limit() > 0 {
		debug.SetGCPercent(growth)
	}
}

// Limit is the collector's limit in bytes; 0: there is none.
func Limit() int64 {
	if l := debug.SetMemoryLimit(-1); l < math.MaxInt64 {
		return l
	}
	return 0
}

// Parts of the limit. Another eighth is for arriving requests; the rest is for the
// collector, which frees nothing before it must.
const (
	ofSearches = 2
	ofHeld     = 4
)

// unlimited is what requests and lines may hold if there is no limit.
const unlimited = 1 << 30

// Searches is what n searches may have together unless configured: half of the limit, and
// no more than each of them may have.
func Searches(n int) int64 {
	all := int64(n) * rip.DefaultMemory
	if l := Limit(); l > 0 {
		all = min(all, l/ofSearches)
	}
	return all
}

// Each is what one of n searches may have. Shares are equal and do not depend on how many
// run: so no search waits for another's memory, and a search that its share ends has the
// same answer however busy the service is.
func Each(all int64, n int) int64 { return min(max(all/int64(n), 1), rip.DefaultMemory) }

// Held is what requests and lines may hold together.
func Held() int64 {
	if l := Limit(); l > 0 {
		return l / ofHeld
	}
	return unlimited
}
