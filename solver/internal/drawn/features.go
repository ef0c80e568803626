// Package drawn draws small rip problems at random, with features in combination, to find
// errors that appear only if several come together. The features of a problem are
// determined from the problem and from what mattered for its plans, not from the draw. A
// problem that fails is shrunk by Shrink. Only tests import it.
package drawn

import (
	"math/bits"
	"strings"
)

// Feature is a property that a problem may have.
type Feature int

// The features. Those of items apply to items that fit a pocket of some setting, except
// Filled and TooLong.
const (
	CapLength   Feature = iota // a cap by length forbids an assignment
	CapArea                    // by area
	CapStrips                  // by strips
	CapPieces                  // by pieces of a length
	PartMade                   // some of a capped item is made
	Filled                     // an item is full: all of it is made
	Range                      // a range of widths
	PointRange                 // a range of one width
	Joint                      // a range loses a joint of each strip
	Tolerance                  // a fixed width may be off by more than half a step
	PerLength                  // worth by length
	PerStrip                   // worth by the strip
	Worthless                  // worth nothing
	Beside                     // two items fit one pocket
	Alike                      // two items are worth the same by the same basis
	LeastLength                // a run is too short for an item
	JustLong                   // an item takes boards no longer than this one
	TooLong                    // or only shorter ones
	Crosscut                   // crosscut to lengths
	CutCap                     // a crosscut length has a limit
	CutLoss                    // crosscuts have a kerf or an end trim
	CutFilled                  // a crosscut length is full: all of it is made
	CappedCuts                 // a crosscut item's own cap forbids an assignment
	Refused                    // a defect takes something from a run
	Accepted                   // a defect lies in a strip that accepts it
	Parts                      // a strip has several runs
	Straight                   // the near edge is straight
	WidthOnly                  // near is 0 throughout and far uneven
	Clean                      // both edges are level
	NearUneven                 // the near edge is not
	FarUneven                  // the far edge is not
	NoWidth                    // the board has no width somewhere
	BelowFence                 // near is below 0 somewhere
	Raised                     // near is above 0 throughout
	Held                       // a skew or uneven board has no station at an end
	Odd                        // the length or a height is not a whole micrometre
	FenceOne                   // the fence has one stop
	FenceTwo                   // two
	FenceMany                  // more
	FixedOn                    // a blade is fixed on a stop
	FixedOff                   // or between stops
	Moving                     // a blade moves
	Stuck                      // a moving blade has one stop
	OneBlade                   // the number of blades
	TwoBlades                  //
	ThreeBlades                //
	FourBlades                 // or more
	OffWood                    // a blade stands off the wood
	NoKerf                     // the kerf is 0
	KerfOff                    // the kerf is not a multiple of the step
	WideGap                    // the gap is wider than the least strip
	CloseNow                   // blades stand closer than the gap now
	CurrentOff                 // fence or a blade does not stand at a stop now
	Trim                       // edges are trimmed
	Rerip                      // something is fed again
	Skew                       // the infeed sets boards at an angle
	Priced                     // the saw's time costs settings different amounts
	Overlaps                   // and moves overlap handling
	Limits                     // the board is as large as the saw takes
	Features    int     = iota
)

var names = [...]string{"cap by length", "cap by area", "cap by strips", "cap by pieces", "part made", "filled", "range", "range of one width",
	"joint", "tolerance", "worth by length", "worth by strip", "worth nothing", "beside", "alike", "least length", "just long", "too long",
	"crosscut", "capped length", "crosscut kerf", "filled length", "capped crosscut", "refused defect", "accepted defect", "several runs",
	"straight near edge", "width only", "clean", "uneven near edge", "uneven far edge", "no width", "below the fence", "raised", "held ends",
	"off the micrometre", "fence of one stop", "of two", "of many", "fixed blade", "fixed off the step", "moving blade", "stuck blade",
	"one blade", "two blades", "three blades", "four blades", "off the wood", "no kerf", "kerf off the step", "wide gap", "closer than the gap",
	"current off the step", "trim", "fed again", "skew", "price of time", "overlapping", "limits"}

func (f Feature) String() string { return names[f] }

// Set is a set of features.
type Set uint64

// Of gives the set of some features.
func Of(all ...Feature) (s Set) {
	for _, f := range all {
		s |= 1 << f
	}
	return s
}

// Has reports whether s has f.
func (s Set) Has(f Feature) bool { return s>>f&1 == 1 }

// All gives the features of a set in their order.
func (s Set) All() (all []Feature) {
	for ; s != 0; s &= s - 1 {
		all = append(all, Feature(bits.TrailingZeros64(uint64(s))))
	}
	return all
}

func (s Set) String() string {
	var all []string
	for _, f := range s.All() {
		all = append(all, f.String())
	}
	return strings.Join(all, ", ")
}
