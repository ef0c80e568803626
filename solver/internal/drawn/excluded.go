package drawn

// excluded lists features that cannot come together, and why.
var excluded = []struct {
	why   string
	never func(s Set) bool
}{
	{"a travel has one number of stops", several(FenceOne, FenceTwo, FenceMany)},
	{"a saw has one number of blades", several(OneBlade, TwoBlades, ThreeBlades, FourBlades)},
	{"a level edge is not uneven", with(Clean, NearUneven, FarUneven, WidthOnly)},
	{"a straight near edge is 0 throughout", with(Straight, NearUneven, BelowFence, Raised, WidthOnly)},
	{"only the width is known, so near is 0 throughout", with(WidthOnly, NearUneven, BelowFence, Raised)},
	{"near cannot be above 0 throughout and below it somewhere", with(Raised, BelowFence)},
	{"no kerf is a multiple of any step", with(NoKerf, KerfOff)},
	{"one blade is fixed on a stop, fixed off one, or moves", func(s Set) bool {
		return s.Has(OneBlade) && (several(FixedOn, FixedOff, Moving)(s) || several(FixedOn, FixedOff, Stuck)(s))
	}},
	{"two blades are not of three kinds", func(s Set) bool {
		return s.Has(TwoBlades) && s.Has(FixedOn) && s.Has(FixedOff) && (s.Has(Moving) || s.Has(Stuck))
	}},
	{"blades closer than the gap now are two, and fixed ones never are", func(s Set) bool { return s.Has(OneBlade) && s.Has(CloseNow) }},
	{"of two blades closer than the gap now one at least moves", func(s Set) bool {
		return s.Has(TwoBlades) && s.Has(CloseNow) && s.Has(FixedOn) && s.Has(FixedOff)
	}},
	{"one blade has a pocket only at a straight near edge", func(s Set) bool {
		return s.Has(OneBlade) && s&strips != 0 && s&notStraight != 0
	}},
	{"a cap binds among two pockets or more, which one blade does not have", func(s Set) bool {
		return s.Has(OneBlade) && s&caps != 0
	}},
	{"two blades have one pocket unless the near edge is straight", func(s Set) bool {
		return s.Has(TwoBlades) && s&caps != 0 && s&notStraight != 0
	}},
	{"what is fed again is clear from end to end", with(NoWidth, Rerip)},
	{"a level board of no width is none", with(Clean, NoWidth)},
}

const (
	caps        = Set(1<<CapLength | 1<<CapArea | 1<<CapStrips | 1<<CapPieces | 1<<PartMade | 1<<CappedCuts)
	notStraight = Set(1<<WidthOnly | 1<<NearUneven | 1<<BelowFence | 1<<Raised)
	strips      = caps | Set(1<<Range|1<<PointRange|1<<Joint|1<<Tolerance|1<<PerLength|1<<PerStrip|1<<Worthless|1<<Beside|1<<Alike|1<<LeastLength|
		1<<JustLong|1<<Crosscut|1<<CutCap|1<<CutLoss|1<<CutFilled|1<<Refused|1<<Accepted|1<<Parts)
)

// several matches sets that have two or more of some features.
func several(of ...Feature) func(Set) bool {
	all := Of(of...)
	return func(s Set) bool { s &= all; return s&(s-1) != 0 }
}

// with matches sets that have a feature and one of some others.
func with(f Feature, others ...Feature) func(Set) bool {
	all := Of(others...)
	return func(s Set) bool { return s.Has(f) && s&all != 0 }
}

// Excluded says why features cannot come together; "" if they can.
func Excluded(s Set) string {
	for _, e := range excluded {
		if e.never(s) {
			return e.why
		}
	}
	return ""
}
