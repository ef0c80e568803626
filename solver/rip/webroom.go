package rip

// webRoom is the memory of a settler's webs and of what is computed on them. A web over a
// part of an interval is needed only while that part is searched, so room is given back
// as on a stack.
type webRoom struct {
	ints   slab[int32]
	chords slab[chord]
	skips  slab[skip]
	flags  slab[bool]
	// For paths that are written out.
	blades slab[int64]
	wants  slab[int16]
}

// webMark is how much of a room was in use.
type webMark struct{ ints, chords, skips, flags place }

func (r *webRoom) mark() webMark {
	return webMark{r.ints.mark(), r.chords.mark(), r.skips.mark(), r.flags.mark()}
}

// back gives back what was taken since the mark.
func (r *webRoom) back(m webMark) {
	r.ints.back(m.ints)
	r.chords.back(m.chords)
	r.skips.back(m.skips)
	r.flags.back(m.flags)
}

func (r *webRoom) reset() {
	r.back(webMark{})
	r.blades.reset()
	r.wants.reset()
}
