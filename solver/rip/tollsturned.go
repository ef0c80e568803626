package rip

import "github.com/ripwright/ripwright/solver/unit"

// turned bounds what lies before the first fixed blade after tolls, as what lies beyond a
// blade on the board turned about, with the far edge at the fence.
type turned struct {
	search *search // for the board so turned
	c      *ceiling
	sum    int64 // of a height and that of the same place on the turned board
}

// turnTolls makes the bound, for up to m blades before one. It reports false if the
// search was stopped.
func (s *search) turnTolls(m int) bool {
	in := s.in
	p := *in.p
	// A kerf's two ends change places, and stops have to fall on stops.
	t := &turned{sum: in.kerf + in.stopUp(in.woodHi)}
	p.Board = in.p.Board.About(unit.Length(t.sum))
	about := in.ready.of(&p)
	t.search = newSearch(about, 0, s.budget)
	s.turned = t
	t.search.prepare()
	t.c = t.search.measured()
	t.c.states, t.c.unit = 1, t.search.ints.take(about.caps)
	copy(t.c.price, s.ceil.price)
	t.c.charge(about)
	done := t.c.build(t.search, m) && t.c.shift == s.ceil.shift
	if !done {
		s.turned = nil
		t.search.release()
	}
	return !s.over()
}

// tolledBefore bounds what lies before blade j, which stands anywhere in [a, b].
func (s *search) tolledBefore(j int, a, b int64) int64 {
	t := s.turned
	if t == nil {
		return 0
	}
	from, to := t.sum-s.in.kerf-(b-s.w.lo), t.sum-s.in.kerf-(a-s.w.hi)
	return t.c.beyond(t.search.in, j, from, to)
}
