package rip

// level says where a table needs no computation: strips between two heights where the
// board is clear from end to end are worth the same one stop further, and if what follows
// them is the same there too, so is the entry.
type level struct {
	from   []int64 // per entry of the next table, where the equal ones before it begin
	widest int64   // of all strips
}

// newLevel is made from the table that follows and which of its blades cut wood. Defects
// and gaps that are fed again differ from stop to stop: with them nothing is level.
func (s *search) newLevel(next *table, cut []int64) level {
	l := level{widest: farOut}
	if s.in.reripWidth > 0 {
		return l
	}
	widest := int64(0)
	for i := range s.in.wants {
		w := &s.in.wants[i]
		if w.spotted() {
			return l
		}
		widest = max(widest, w.hi)
	}
	l.widest, l.from = widest, s.longs.take(len(next.score))
	for i := 1; i < len(l.from); i++ {
		s.poll(i)
		l.from[i] = l.from[i-1]
		if next.score[i] != next.score[i-1] || cut[i] != cut[i-1] {
			l.from[i] = int64(i)
		}
	}
	return l
}

// over reports whether all entries from one to another are equal.
func (l *level) over(from, to int) bool {
	return from >= 0 && to < len(l.from) && l.from[to] <= int64(from)
}
