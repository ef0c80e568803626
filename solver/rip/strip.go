package rip

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// fences is a closed interval of fence positions. Over an interval every part
// of a plan is scored by the best that any fence position in it could give, so
// that a score over the interval bounds the scores inside; over a single
// position it is exact. Positions on the arbor are the same for all of them:
// only where the wood lies below the blades changes.
type fences struct{ lo, hi int64 }

func (f fences) single() bool { return f.lo == f.hi }

// fenceFace stands for the straight edge in place of a blade's face: left of
// everything, so that it is the straight edge which bounds the pocket.
const fenceFace = -int64(1) << 50

// strip is what an item makes of a pocket.
type strip struct {
	score  score
	amount int64 // towards the cap
}

// strip scores want w in the pocket between the arbor positions left and right.
// It reports false where no fence position lets the item be cut there.
func (s *search) strip(w *want, left, right int64) (strip, bool) {
	// The straight edge bounds what the fence has passed, so there the width
	// shrinks as the fence moves out.
	wide, narrow := right-left, right-left
	p, q := left-s.w.lo, right-s.w.hi
	if s.in.straight {
		wide, narrow = min(wide, right-s.w.lo), min(narrow, right-s.w.hi)
		p = max(p, 0)
	}
	if narrow > w.hi || wide < w.lo {
		return strip{}, false
	}
	wide, narrow = min(wide, w.hi), max(narrow, w.lo)
	n, pieces := s.counted(w, p, q)
	if n == 0 {
		return strip{}, false
	}
	var st strip
	st.score.worth = w.worth(wide, n)
	st.score.area = wide * n
	if !w.it.Random {
		nominal := int64(w.it.Min)
		st.score.dev = max(narrow-nominal, nominal-wide, 0)
	}
	if w.cap < 0 {
		return st, true
	}
	if !s.w.single() { // the least that the strip can use up
		p, q = left-s.w.hi, right-s.w.lo
		if s.in.straight {
			p = max(p, 0)
		}
		n, pieces = s.counted(w, p, q)
	}
	st.amount = w.amount(narrow, n, pieces)
	return st, true
}

// amount of a strip towards its cap.
func (w *want) amount(width, n, pieces int64) int64 {
	switch w.it.Measure {
	case order.ByLength:
		return n
	case order.ByArea:
		return width * n
	}
	return pieces
}

// counted gives the counted length of the band [p, q] for want w in
// micrometres, and the pieces that it counts as.
func (s *search) counted(w *want, p, q int64) (n, pieces int64) {
	in := s.in
	if p < in.outerLo || q > in.outerHi {
		return 0, 0
	}
	if p >= in.fullLo && q <= in.fullHi {
		return in.length, w.pieces(in.length)
	}
	s.runs = in.clear.Runs(s.runs[:0], unit.Length(p), unit.Length(q))
	return w.count(s.runs)
}

func (w *want) count(runs []wood.Stretch) (n, pieces int64) {
	for _, r := range runs {
		if l := r.Length(); unit.Length(l)*unit.Micrometre >= w.it.LeastLength {
			n += int64(l)
			pieces += w.pieces(int64(l))
		}
	}
	if w.it.PieceLength == 0 {
		pieces = min(pieces, 1)
	}
	return n, pieces
}

// pieces that one counted run gives; a strip without a piece length is 1
// however many runs it has.
func (w *want) pieces(run int64) int64 {
	if pl := int64(w.it.PieceLength); pl > 0 {
		return run * 1000 / pl
	}
	return 1
}

// rerip is what the gap between two arbor positions is worth when fed again.
func (s *search) rerip(left, right int64) worth {
	in := s.in
	if in.reripWidth == 0 {
		return worth{}
	}
	o := min(min(right-s.w.lo, in.fullHi)-max(left-s.w.hi, in.fullLo), right-left)
	if o < in.reripWidth {
		return worth{}
	}
	return unit.WorthOf(in.reripV, o, in.length)
}

// stand scores a blade standing at a: whether it cuts wood, how far it moved.
func (s *search) stand(j int, a int64) score {
	b := &s.in.blades[j]
	var sc score
	if b.moving {
		from, to := a+s.f.lo-s.w.lo, a+s.f.hi-s.w.hi
		sc.travel = max(from-b.current, b.current-to, 0)
	}
	if s.inWood(a) {
		sc.blades = 1
	}
	return sc
}

// inWood reports whether a blade at a cuts wood wherever the fence stands.
func (s *search) inWood(a int64) bool {
	in := s.in
	if s.w.single() && !in.gapless {
		y := unit.Length(a - s.w.lo)
		return in.p.Board.Meets(y, y+unit.Length(in.kerf))
	}
	return in.gapless && in.kerf > 0 && a-s.w.hi+in.kerf > in.woodLo && a-s.w.lo < in.woodHi
}
