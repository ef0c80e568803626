package incumbent

import "github.com/ripwright/ripwright/solver/unit"

// side views the board outwards from the near edge, or mirrored from the far one, so that
// the same code serves blades before the first fixed one and beyond the last. In its
// frame a blade takes [u, u+kerf] and its face, from which the next strip is sawn, is
// u+kerf.
type side struct {
	h                *heuristic
	mirrored         bool
	outerLo, outerHi int64
	fullLo, fullHi   int64
	off              int64 // moving blades stand at whole steps plus this

	// The table: value[r][i] estimates what r blades bring from height i on.
	n      int
	levels int
	value  [][]int64
	later  [][]int64 // the best value from i on
	choice [][]choice

	ahead  []int     // per item that is not by width, heights from face to face
	strips [][]int64 // per such item and height, what a strip from there is worth
	banded [][]banded
	queue  []int32
}

// choice is what gives the value: an item, or none, and the next face.
type choice struct {
	item int16
	next int32
}

// banded is a measured strip of an item by width.
type banded struct {
	from, to int32
	worth    int64
}

func (h *heuristic) newSide(mirrored bool, levels int) *side {
	p := h.p
	s := &side{h: h, mirrored: mirrored, levels: levels}
	if !mirrored {
		s.outerLo, s.outerHi, s.fullLo, s.fullHi = p.OuterLo, p.OuterHi, p.FullLo, p.FullHi
		return s
	}
	s.outerLo, s.outerHi, s.fullLo, s.fullHi = -p.OuterHi, -p.OuterLo, -p.FullHi, -p.FullLo
	s.off = unit.CeilDiv(p.Kerf, p.Step)*p.Step - p.Kerf
	return s
}

// turn converts the near height of a blade in this frame to that on the board, and back.
func (s *side) turn(u int64) int64 {
	if s.mirrored {
		return -u - s.h.p.Kerf
	}
	return u
}

func (s *side) up(u int64) int64 { return s.h.stopUp(u-s.off) + s.off }

func (s *side) down(u int64) int64 { return s.h.stopDown(u-s.off) + s.off }

// window gives where blade j can stand with the fence at f.
func (s *side) window(j int, f int64) (lo, hi int64) {
	b := &s.h.p.Blades[j]
	lo, hi = s.turn(b.Lo-f), s.turn(b.Hi-f)
	return min(lo, hi), max(lo, hi)
}

func (s *side) strip(item int, lo, hi int64) (worth, amount int64) {
	if s.mirrored {
		lo, hi = -hi, -lo
	}
	return s.h.strip(item, lo, hi)
}

// index gives the nearest height of the table, which may lie outside it.
func (s *side) index(y int64) int {
	return int(unit.FloorDiv(y-s.outerLo+s.h.grid/2, s.h.grid))
}

func (s *side) height(i int) int64 { return s.outerLo + int64(i)*s.h.grid }

// stripFrom estimates a strip of an item that is not by width.
func (s *side) stripFrom(item int, y int64) int64 {
	if s.strips == nil {
		v := s.h.full[item].worth
		if from, to := s.core(); y < from || y+s.h.p.Items[item].Lo > to {
			v /= 2
		}
		return v
	}
	if i := s.index(y); i >= 0 && i < s.n {
		return s.strips[item][i]
	}
	return 0
}

// relaxed is rest before the table is made. Of what an edge leaves clear in part only, half
// counts.
func (s *side) relaxed(r int, y int64) int64 {
	from, to := s.core()
	if y < s.outerLo { // a blade has to reach the wood first
		r--
	}
	return s.h.relaxed.rest(r, to-max(y, from))
}

// core is the band that counts, see relaxed.
func (s *side) core() (from, to int64) {
	if s.fullLo >= s.fullHi {
		quarter := (s.outerHi - s.outerLo) / 4
		return s.outerLo + quarter, s.outerHi - quarter
	}
	return (s.outerLo + s.fullLo) / 2, (s.outerHi + s.fullHi) / 2
}

// rest estimates what r blades bring beyond the face y.
func (s *side) rest(r int, y int64) int64 {
	if r == 0 {
		return 0
	}
	if s.value == nil {
		return s.relaxed(r, y)
	}
	i := s.index(y)
	if i >= s.n {
		return 0
	}
	if i < 0 { // a blade has to reach the wood first
		if i = max(s.index(y+s.h.p.Gap+s.h.p.Kerf), 0); i >= s.n {
			return 0
		}
		return s.later[r-1][i]
	}
	return s.value[r][i]
}
