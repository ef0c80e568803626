package costtogo

// blockLen is how many entries are skipped at once if none can gain.
const blockLen = 64

// restLen is how many entries share what follows them, a part of a block. A run of a block
// took 1.4 times the time on boards with MMMFMMM; a number an entry is half of a table.
const restLen = 8

// level is the table for a number of blades and a state. A blade can stand only at the
// entries from lo on, before hi; at, block and rest hold nothing of others.
type level struct {
	lo, hi int
	parked int64   // with the blade beyond the board
	at     []int64 // the most beyond a blade at an entry
	block  []int64 // the most of at within each block of entries
	rest   []int64 // the most of at from the first of restLen entries on, and of parked
	faces  []int64 // the most of at with a face strip before it, from an entry on: those that are asked about
}

// stands gives the most beyond a blade at an entry, below 0 where it cannot stand.
func (l *level) stands(i int) int64 {
	if i < l.lo || i >= l.hi {
		return never
	}
	return l.at[i]
}

// from gives the most beyond a blade at an entry or any beyond it.
func (l *level) from(i int) int64 {
	if i = max(i, l.lo); i >= l.hi {
		return l.parked
	}
	r := i / restLen
	return max(most(l.at[i:min((r+1)*restLen, l.hi)]), l.rest[r+1])
}

// run gives from for each entry of a run, at all of which a blade can stand.
func (l *level) run(dst []int64, i int) {
	if len(dst) == 0 {
		return
	}
	best := l.from(i + len(dst))
	src := l.at[i : i+len(dst)]
	dst = dst[:len(src)]
	for j := len(src) - 1; j >= 0; j-- {
		best = max(best, src[j])
		dst[j] = best
	}
}

// about is from or a little more, for an entry at which a blade can stand.
func (l *level) about(i int) int64 { return l.rest[i/restLen] }

func most(v []int64) int64 {
	m := v[0]
	for _, x := range v {
		m = max(m, x)
	}
	return m
}

// close computes what follows from at.
func (l *level) close() {
	if l.lo >= l.hi {
		return
	}
	const each = blockLen / restLen
	end := (l.hi-1)/restLen + 1
	l.rest[end] = l.parked
	for b := (l.hi - 1) / blockLen; b >= l.lo/blockLen; b-- {
		l.block[b] = never
		for r := min((b+1)*each, end) - 1; r >= max(b*each, l.lo/restLen); r-- {
			m := most(l.at[max(r*restLen, l.lo):min((r+1)*restLen, l.hi)])
			l.block[b], l.rest[r] = max(l.block[b], m), max(m, l.rest[r+1])
		}
	}
}

func fill(v []int64, x int64) {
	if len(v) > 0 {
		v[0] = x
	}
	for n := 1; n < len(v); n *= 2 {
		copy(v[n:], v[:n])
	}
}
