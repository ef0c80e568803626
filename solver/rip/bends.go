package rip

// bends is the travel of one cutting as a function of the fence: a sum of distances of
// single parts, so convex. Fences outside lo to hi allow no such cutting.
type bends struct {
	base   int64
	lo, hi int64
	parts  []bend
	falls  int // parts that fall before they bend
}

// bend is one part of a travel. Up to a place it falls by as much as the fence moves or
// not at all, and from there on it rises by as much or not at all.
type bend struct {
	at          int64
	falls, rise bool
}

func (b *bends) reset(f fences) {
	*b = bends{lo: f.lo, hi: f.hi, parts: b.parts[:0]}
}

// back removes what was added since b had that state.
func (b *bends) back(to bends) {
	to.parts = b.parts[:len(to.parts)]
	*b = to
}

func (b *bends) rise(from int64) { b.parts = append(b.parts, bend{at: from, rise: true}) }

func (b *bends) fall(to int64) {
	b.parts = append(b.parts, bend{at: to, falls: true})
	b.falls++
}

// both adds the distance from a place.
func (b *bends) both(at int64) {
	b.parts = append(b.parts, bend{at: at, falls: true, rise: true})
	b.falls++
}

func (b *bends) within(lo, hi int64) { b.lo, b.hi = max(b.lo, lo), min(b.hi, hi) }

// travel with the fence at f.
func (b *bends) travel(f int64) int64 {
	sum := b.base
	for _, p := range b.parts {
		if d := f - p.at; d > 0 && p.rise {
			sum += d
		} else if d < 0 && p.falls {
			sum -= d
		}
	}
	return sum
}

// turn gives the first of the stops from lo to hi at which the travel is least, and false
// if there is none. The slope is that of all parts falling at first and grows by one
// wherever a part ceases to fall or begins to rise, so the sum turns where the number of
// these places passed equals the number of falling parts.
func (b *bends) turn(in *instance, scratch *[]bend) (fence int64, ok bool) {
	if b.lo > b.hi {
		return 0, false
	}
	all := append((*scratch)[:0], b.parts...)
	*scratch = all
	for i := 1; i < len(all); i++ { // insertion sort: they are few
		p, k := all[i], i
		for ; k > 0 && all[k-1].at > p.at; k-- {
			all[k] = all[k-1]
		}
		all[k] = p
	}
	slope, f := -b.falls, b.lo
	for _, p := range all {
		if slope >= 0 {
			break
		}
		f = p.at
		if p.falls {
			slope++
		}
		if p.rise {
			slope++
		}
	}
	f = in.stopUp(f)
	if f > b.lo && f <= b.hi && b.travel(f-in.step) <= b.travel(f) {
		f -= in.step
	}
	return min(max(f, b.lo), b.hi), true
}
