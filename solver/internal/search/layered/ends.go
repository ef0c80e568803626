package layered

// ends is a least travel over the interval of fences at hand, as its value at the first
// and at the last of them, or a little less.
//
// A blade's travel is convex in the fence, and linear if the blade is off its present
// place over the whole interval: then the sum of a path lies on the line between the two
// ends, and at no fence below the lesser of them. If a travel bends within the interval,
// its least value stands for both ends. So the least over many paths is that of two sums,
// one for each end, and paths along which some blades gain as much as others lose are
// found equal without checking every fence.
type ends struct{ first, last int64 }

var farEnds = ends{far, far}

// alike is a travel that is the same, or at least v, over the whole interval.
func alike(v int64) ends { return ends{v, v} }

// least is the lesser end: no fence of the interval has less.
func (v ends) least() int64 { return min(v.first, v.last) }

// most is the greater end.
func (v ends) most() int64 { return max(v.first, v.last) }

// plus adds, far staying far.
func (v ends) plus(o ends) ends { return ends{min(v.first+o.first, far), min(v.last+o.last, far)} }

// or takes the lesser at each end.
func (v ends) or(o ends) ends { return ends{min(v.first, o.first), min(v.last, o.last)} }

// above is at least v.
func (v ends) above(least int64) ends { return ends{max(v.first, least), max(v.last, least)} }

// away is the distance from its present place of what stands from lo to hi over the
// interval.
func away(lo, hi, current int64) ends {
	switch {
	case lo >= current:
		return ends{lo - current, hi - current}
	case hi <= current:
		return ends{current - lo, current - hi}
	}
	return ends{}
}
