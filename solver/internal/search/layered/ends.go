package layered

// ends is a least travel over the interval of fences at hand, by what it is at the first
// and at the last of them, or a little less.
//
// A blade's travel is convex in the fence, and where it stands off its present place all
// over the interval it is linear: so the sum of a path lies on the line between the two
// ends, and at no fence below the lesser of them. Where a travel bends within the interval
// the least of it stands for both ends. So the least over many paths is that of two sums,
// one for each end, and paths along which as much is gained by some blades as lost by
// others are told to be alike without a look at every fence.
type ends struct{ first, last int64 }

var farEnds = ends{far, far}

// alike is a travel that is the same all over the interval, or no more than that.
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

// away is how far from its present place what stands from lo to hi over the interval is.
func away(lo, hi, current int64) ends {
	switch {
	case lo >= current:
		return ends{lo - current, hi - current}
	case hi <= current:
		return ends{current - lo, current - hi}
	}
	return ends{}
}
