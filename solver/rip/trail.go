package rip

import "slices"

// On a saw without a fixed blade the best cutting is often possible at many fence
// positions, which differ in how far fence and blades have to move. Every sweep over an
// interval leaves the positions at which some plan could still better the pool; inside
// the interval only these need be tried, so the nearest of them bounds the travel of each
// blade.

// trail gives the positions that each blade has kept in the last sweep, or nil if the
// arbor is the frame.
func (s *search) trail() [][]int64 {
	if s.anchored {
		return nil
	}
	trails := make([][]int64, len(s.in.blades))
	for i := range int32(s.labels.n) {
		l := s.labels.at(i)
		trails[l.j] = append(trails[l.j], l.a)
	}
	for j := range trails {
		slices.Sort(trails[j])
		trails[j] = slices.Compact(trails[j])
	}
	return trails
}

// follow sets the least travel still to come, over the interval at hand.
func (s *search) follow(trails [][]int64) {
	s.trails = trails
	sum := int64(0)
	for j := len(s.further) - 1; j >= 0; j-- {
		s.further[j] = sum
		sum += s.nearest(j)
	}
}

// nearest is the least move of blade j.
func (s *search) nearest(j int) int64 {
	if s.trails == nil {
		return 0
	}
	from, to := s.in.blades[j].current-s.f.hi, s.in.blades[j].current-s.f.lo
	t := s.trails[j]
	if j > 0 && j == len(s.trails)-1 && s.asideAtEnd() && len(s.trails[j-1]) > 0 {
		// As an idle blade it was tried only where it moves the least at one end of the
		// interval swept; within the interval, that is at any place beyond the blade
		// before.
		return max(s.in.stopUp(s.trails[j-1][0]+s.in.kerf+s.in.gap)-to, 0)
	}
	i, _ := slices.BinarySearch(t, from)
	best := farOut
	if i < len(t) {
		best = max(t[i]-to, 0)
	}
	if i > 0 {
		best = min(best, from-t[i-1])
	}
	return best
}
