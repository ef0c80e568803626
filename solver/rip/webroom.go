package rip

// webRoom is the memory of a settler's webs and of what is worked out on them. A
// web over a part of an interval is needed no longer than that part is looked at,
// so room is given back like a stack's.
type webRoom struct {
	ints   slab[int32]
	chords slab[chord]
	skips  slab[skip]
	flags  slab[bool]
	// Of paths written out.
	blades slab[int64]
	wants  slab[int16]
}

// webMark is how much of a room was in use.
type webMark struct{ ints, chords, skips, flags int }

func (r *webRoom) mark() webMark {
	return webMark{r.ints.used, r.chords.used, r.skips.used, r.flags.used}
}

// back gives back what was taken since the mark.
func (r *webRoom) back(m webMark) {
	// A slab that has been replaced by a longer one since is in use from further on
	// than need be, and no less.
	r.ints.used, r.chords.used, r.skips.used, r.flags.used = m.ints, m.chords, m.skips, m.flags
}

func (r *webRoom) reset() {
	r.back(webMark{})
	r.blades.used, r.wants.used = 0, 0
}
