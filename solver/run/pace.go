package run

import (
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/unit"
)

// Pace is how fast a saw works. Feeds of 10 to 50 m/min are common practice.
type Pace struct {
	Feed        int64 // nanometres a minute; 0: not known
	Positioning int64 // nanometres a second; 0: takes no time
	Handling    time.Duration
	// Overlaps says that fence and blades move while the board is handled.
	Overlaps bool
}

// Limits of a pace, in m/min, mm/s and s.
const (
	MinFeed        = published.LeastSawFeedMPerMin // slower, the nanoseconds of a cycle might overflow
	MaxFeed        = published.MostSawFeedMPerMin
	MinPositioning = published.LeastSawPositioningMmPerS // likewise
	MaxPositioning = published.MostSawPositioningMmPerS
	MaxHandling    = published.MostSawHandlingS
)

// Limit is the part of a cycle that takes longest.
type Limit int

// The limits. Of equally long parts, the first one counts.
const (
	ByFeed Limit = iota
	ByPositioning
	ByHandling
)

// Cycle is the estimate for one board, every part rounded up to nanoseconds.
type Cycle struct {
	Feed, Positioning, Handling, Total time.Duration
	Limit                              Limit
}

// Cycle estimates a board of a length with the given longest move. All axes move at the
// same time. It reports false if the feed is not known.
func (p *Pace) Cycle(length, move unit.Length) (c Cycle, known bool) {
	if p.Feed == 0 {
		return c, false
	}
	return p.Parts(length, move), true
}

// Parts is Cycle with 0 for parts that are not known.
func (p *Pace) Parts(length, move unit.Length) (c Cycle) {
	if p.Feed > 0 {
		c.Feed = time.Duration(unit.MulDivCeil(int64(length), int64(time.Minute), p.Feed))
	}
	if p.Positioning > 0 {
		c.Positioning = time.Duration(unit.MulDivCeil(int64(move), int64(time.Second), p.Positioning))
	}
	c.Handling = p.Handling
	if p.Overlaps {
		c.Total = c.Feed + max(c.Positioning, c.Handling)
	} else {
		c.Total = c.Feed + c.Positioning + c.Handling
	}
	parts := []time.Duration{ByFeed: c.Feed, ByPositioning: c.Positioning, ByHandling: c.Handling}
	c.Limit = Limit(slices.Index(parts, slices.Max(parts)))
	return c
}

// PerMinute is how many boards the saw takes in a minute if all are like this one.
func (c *Cycle) PerMinute() float64 { return time.Minute.Seconds() / c.Total.Seconds() }

// Move is the longest distance that any axis has to go.
func Move(from, to []unit.Length) (longest unit.Length) {
	for i := range from {
		longest = max(longest, to[i]-from[i], from[i]-to[i])
	}
	return longest
}
