package rip

import "github.com/ripwright/ripwright/solver/unit"

// fences is a closed interval of fence positions. Over an interval every part of a plan
// is scored by the best that any fence position in it could give, so that a score over
// the interval bounds the scores inside; over a single position it is exact. Positions on
// the arbor are the same for all of them: only the place of the wood below the blades
// changes.
type fences struct{ lo, hi int64 }

func (f fences) single() bool { return f.lo == f.hi }

// fenceFace stands for the straight edge in place of a blade's face: left of everything,
// so that the straight edge bounds the pocket.
const fenceFace = -int64(1) << 50

// strip is an item's strip in a pocket. Over an interval its score may be that at one
// fence and its amount that at another, each the best. All strips but the largest total
// the least of the sums that leave one strip out, and each of these sums grows with every
// amount; so a cap that the least amounts break is broken at every fence.
type strip struct {
	score  score
	amount int64 // towards the cap
}

// strip scores want w in the pocket between the arbor positions left and right. It
// reports false if no fence position allows the item there.
func (s *search) strip(w *want, left, right int64) (strip, bool) {
	s.tick(1)
	// The straight edge bounds what the fence has passed, so the width there shrinks as
	// the fence moves out.
	wide, narrow := right-left, right-left
	p, q := left-s.w.lo, right-s.w.hi
	if s.in.straight {
		wide, narrow = min(wide, right-s.w.lo), min(narrow, right-s.w.hi)
		p = max(p, 0)
	}
	if narrow > w.hi || wide < w.lo || s.in.within(p+s.w.lo, right) {
		return strip{}, false
	}
	wide, narrow = min(wide, w.hi), max(narrow, w.lo)
	single := s.w.single()
	c := s.cutOf(w, p, q, single)
	if c.n == 0 {
		return strip{}, false
	}
	var st strip
	st.score.Worth = w.worth(wide, c)
	st.score.Area = wide * c.n
	if !w.it.Random {
		nominal := int64(w.it.Min)
		st.score.Dev = max(narrow-nominal, nominal-wide, 0)
	}
	if w.cap < 0 {
		return st, true
	}
	if !single { // the least that the strip can use up
		p, q = left-s.w.hi, right-s.w.lo
		if s.in.straight {
			p = max(p, 0)
		}
		c = s.cutOf(w, p, q, true)
	}
	st.amount = w.amount(narrow, c)
	return st, true
}

// rerip is the worth of the gap between two arbor positions when fed again.
func (s *search) rerip(left, right int64) worth {
	in := s.in
	if in.reripWidth == 0 {
		return worth{}
	}
	if in.straight {
		left = max(left, s.w.lo)
	}
	if in.within(left, right) {
		return worth{}
	}
	o := min(min(right-s.w.lo, in.fullHi)-max(left-s.w.hi, in.fullLo), right-left)
	if o < in.reripWidth {
		return worth{}
	}
	return unit.WorthOf(in.reripV, o, in.length)
}

// stand scores a blade standing at a: whether it cuts wood, and its move.
func (s *search) stand(j int, a int64) score {
	b := &s.in.blades[j]
	var sc score
	if b.moving {
		from, to := a+s.f.lo-s.w.lo, a+s.f.hi-s.w.hi
		sc.Travel = max(from-b.current, b.current-to, 0)
	}
	if s.inWood(a) {
		sc.Blades = 1
	}
	return sc
}

// inWood reports whether a blade at a cuts wood at every position of the fence.
func (s *search) inWood(a int64) bool {
	in := s.in
	if s.w.single() && !in.gapless {
		s.tick(in.edges/128 + 1)
		y := unit.Length(a - s.w.lo)
		return in.p.Board.Meets(y, y+unit.Length(in.kerf))
	}
	return in.gapless && in.kerf > 0 && a-s.w.hi+in.kerf > in.woodLo && a-s.w.lo < in.woodHi
}
