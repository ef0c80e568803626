package costtogo

// Along adds At of the fixed blade at each of some entries, which rise or fall by 1.
func (s *Side) Along(row []int64, st, i, by int) {
	if s.Empty() {
		return
	}
	r := along{row, i, by < 0}
	if r.falls {
		r.first -= len(row) - 1
	}
	waits := min(1-s.Apart(s.Moving), s.First()) // before it the next blade can stand before the board too
	if r.first < waits {
		r.add(r.first, waits, s.before(st, r.first))
	}
	r.each(waits, s.First(), func(e int) int64 { return s.before(st, e) })
	l := &s.levels[s.Moving*s.States.Count+st]
	lo, hi := max(l.lo, s.First()), max(l.hi, s.First())
	r.add(s.First(), lo, never)
	r.table(lo, hi, l.at)
	r.add(hi, s.P.N, never)
	r.add(s.P.N, r.first+len(row), s.parked(s.Moving))
}

// along is a row of numbers, one for each of some entries from a first one on, the last
// entry's first if they fall.
type along struct {
	row   []int64
	first int
	falls bool
}

// part gives the entries of the row from one to before another, and their numbers.
func (r *along) part(from, to int) (e int, part []int64) {
	from, to = max(from-r.first, 0), min(to-r.first, len(r.row))
	switch {
	case from >= to:
		return 0, nil
	case r.falls:
		return r.first + from, r.row[len(r.row)-to : len(r.row)-from]
	}
	return r.first + from, r.row[from:to]
}

// add adds a number at each entry of a part.
func (r *along) add(from, to int, v int64) {
	_, part := r.part(from, to)
	for i := range part {
		part[i] += v
	}
}

// each adds a number that depends on the entry.
func (r *along) each(from, to int, v func(e int) int64) {
	e, part := r.part(from, to)
	for i := range part {
		if r.falls {
			i = len(part) - 1 - i
		}
		part[i] += v(e)
		e++
	}
}

// table adds the numbers of a table of all entries.
func (r *along) table(from, to int, at []int64) {
	e, part := r.part(from, to)
	if len(part) == 0 {
		return
	}
	src := at[e : e+len(part)]
	if r.falls {
		for i := range part {
			part[i] += src[len(src)-1-i]
		}
		return
	}
	for i, v := range src {
		part[i] += v
	}
}
