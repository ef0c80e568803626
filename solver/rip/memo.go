package rip

import (
	"unsafe"

	"github.com/ripwright/ripwright/solver/unit"
)

// memo keeps what bands beside one edge of the board give all wants. A band whose other
// side is clear over the whole length depends on one height alone, and moving blades
// stand at whole steps of height, so the same few heights recur.
type memo struct {
	base, step int64
	n          int
	// pages hold the wants' cuts by height and want, each for pageHeights heights, nil if
	// none is computed.
	pages [][]cut
	known []uint32 // a bit for each height of a page
	room  int64    // bytes of pages that may still be made
}

// pageHeights is how many heights a page holds.
const pageHeights = 16

func (s *search) newMemo(from, to int64) memo {
	m := memo{base: s.in.stopDown(from), step: s.in.step}
	if to >= m.base {
		m.n = int((to-m.base)/m.step) + 1
	}
	pages := (m.n + pageHeights - 1) / pageHeights
	m.pages, m.known, m.room = s.cutLists.take(pages), s.bits.take(pages), s.budget.Left()/8
	return m
}

// page gives the page of a height, made if need be; nil if there is no room for it, as on
// wide boards with many items. Those are measured each time.
func (m *memo) page(s *search, place int) []cut {
	p := &m.pages[place/pageHeights]
	if *p == nil {
		n := pageHeights * len(s.in.wants)
		if m.room -= int64(n) * int64(unsafe.Sizeof(cut{})); m.room < 0 {
			m.room = 0
			return nil
		}
		*p = s.cuts.raw(n)
	}
	return *p
}

// at gives the place of a height, or -1 if the memo has no place for it.
func (m *memo) at(y int64) int {
	if d := y - m.base; d >= 0 && d%m.step == 0 && d/m.step < int64(m.n) {
		return int(d / m.step)
	}
	return -1
}

// next gives what the band [p, q] gives a plain want, by the place of the height that
// decides; for a place outside the memo the band is clear or without wood.
func (m *memo) next(s *search, w *want, place, p, q int64) cut {
	if place >= 0 && place < int64(m.n) && m.known[place/pageHeights]>>(place%pageHeights)&1 != 0 {
		return m.pages[place/pageHeights][int(place%pageHeights)*len(s.in.wants)+w.index]
	}
	return s.cutOf(w, p, q, true)
}

// spotted reports whether defects may break the want's runs where the edges do not. Only
// this function decides that.
func (w *want) spotted() bool { return len(w.refused) > 0 }

// plain reports whether edges alone and no packing decide what a band gives.
func (w *want) plain() bool { return !w.spotted() && w.crosscut == nil }

// remembered gives what the band [p, q] gives want k, if one edge alone decides and the
// height is one of moving blades.
func (s *search) remembered(k int, p, q int64) (cut, bool) {
	in := s.in
	var m *memo
	var i int
	switch {
	case p >= in.fullLo: // the band ends beside the far edge
		m = &s.farSide
		i = m.at(q)
	case q <= in.fullHi: // it starts beside the near edge, a kerf beyond a blade
		m = &s.nearSide
		i = m.at(p - in.kerf)
	default:
		return cut{}, false
	}
	if i < 0 {
		return cut{}, false
	}
	page := m.page(s, i)
	if page == nil {
		return cut{}, false
	}
	all := page[i%pageHeights*len(in.wants):][:len(in.wants)]
	if known := &m.known[i/pageHeights]; *known>>(i%pageHeights)&1 == 0 {
		*known |= 1 << (i % pageHeights)
		s.tick(1 + int64(len(all))/8 + in.edges/64)
		s.found = in.clear.Runs(s.found[:0], unit.Length(p), unit.Length(q))
		for k := range all {
			s.tick(int64(len(s.found)) / stride)
			all[k] = in.wants[k].count(s.found, true)
		}
	}
	return all[k], true
}
