// Package memory says how much memory the process may have and shares it out: so
// much to the searches, so much to what requests and lines hold beside them.
package memory

import (
	"math"
	"os"
	"runtime/debug"

	"github.com/KimMachineGun/automemlimit/memlimit"

	"github.com/ripwright/ripwright/solver/rip"
)

// ofContainer is the part of a container's memory that Go's collector keeps to; the
// rest is for what it does not count.
const ofContainer = 0.9

// growth is by how much of what is in use, in per cent, the heap grows between two
// collections where there is a limit, which has the collector run sooner as it comes
// near. At Go's own 100 a large request is read, solved and answered through several
// collections, and the latest answers are late by those.
const growth = 400

// Keep has the collector keep to the container's memory where GOMEMLIMIT does not
// say what it is to keep to, and run less often below it where GOGC does not say how
// often. It is called once, before Limit. A system that does not say what the container
// has is none to complain of: there is no limit then.
func Keep() {
	_, _ = memlimit.Set(memlimit.WithRatio(ofContainer), memlimit.WithProvider(memlimit.FromCgroup))
	if _, set := os.LookupEnv("GOGC"); !set && Limit() > 0 {
		debug.SetGCPercent(growth)
	}
}

// Limit is what the collector keeps to, in bytes; 0 where there is no limit.
func Limit() int64 {
	if l := debug.SetMemoryLimit(-1); l < math.MaxInt64 {
		return l
	}
	return 0
}

// Parts of the limit. An eighth more is for requests that are still coming; what is
// left is for the collector, which frees nothing before it has to.
const (
	ofSearches = 2
	ofHeld     = 4
)

// unlimited is what requests and lines may hold where there is no limit.
const unlimited = 1 << 30

// Searches is what so many searches may have together unless something else is set:
// half of the limit, and no more than each of them may have.
func Searches(n int) int64 {
	all := int64(n) * rip.DefaultMemory
	if l := Limit(); l > 0 {
		all = min(all, l/ofSearches)
	}
	return all
}

// Each is what one of n searches may have. Shares are the same for all and do not
// depend on how many run: so no search waits for another's memory, and a search that
// is ended by its own ends with the same answer however busy the service is.
func Each(all int64, n int) int64 { return min(max(all/int64(n), 1), rip.DefaultMemory) }

// Held is what requests and lines may hold together.
func Held() int64 {
	if l := Limit(); l > 0 {
		return l / ofHeld
	}
	return unlimited
}
