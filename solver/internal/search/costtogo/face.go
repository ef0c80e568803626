package costtogo

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// A board whose near edge is straight has a strip between the face of the fence, at
// height 0, and the first blade beyond it, whatever stands before the face. Such a face
// strip depends on the height of that blade alone. On the left side it is the last strip
// of a path, with all further blades before the face; on the right side, if the fixed
// blade stands before the face, it is the first.

// faceStrip is a strip between the face and a blade at height i.
type faceStrip struct {
	w     *model.Want
	i     int
	cut   model.Cut
	value int64
}

// measureFace lists the face strips by rising height, those of one height in the order of
// the wants: it counts the strips of each height before it measures them.
func (p *Profile) measureFace(g *grid) {
	m := p.M
	base := p.Base + g.off
	first := min(max(int(unit.CeilDiv(-base, m.Step)), 0), p.N)
	g.faceAt = make([]int32, p.N-first+1)
	heights := func(w *model.Want) (from, to int) {
		return max(int(unit.CeilDiv(w.Lo-base, m.Step)), first), min(int(unit.FloorDiv(w.Hi-base, m.Step)), p.N-1)
	}
	next := make([]int32, p.N-first+1) // where the next strip of a height goes
	for k := range m.Wants {
		from, to := heights(&m.Wants[k])
		if p.Over(4 + max(to-from, 0)) {
			return
		}
		for i := from; i <= to; i++ {
			next[i-first+1]++
		}
	}
	p.Over(len(next))
	for i := 1; i < len(next); i++ {
		next[i] += next[i-1]
	}
	all := p.buf.facesOf(int(next[len(next)-1]))
	for k := range m.Wants {
		w := &m.Wants[k]
		from, to := heights(w)
		for i := from; i <= to; i++ {
			if p.Over(8) {
				return
			}
			y, c := base+int64(i)*m.Step, w.Full
			if y > m.FullHi || w.Spotted() {
				p.Over(p.cutting(w))
				c = m.Cut(w, 0, y)
			}
			x := &all[next[i-first]]
			next[i-first]++
			if *x = (faceStrip{w: w, i: i, cut: c}); c.N > 0 {
				x.value = p.Up(w.Worth(y, c))
			}
		}
	}
	// Those that count nothing are left out.
	p.Over(2 * len(all))
	kept, k := all[:0], 0
	for i := range p.N - first {
		g.faceAt[i] = int32(len(kept))
		for ; k < int(next[i]); k++ {
			if all[k].cut.N > 0 {
				kept = append(kept, all[k])
			}
		}
	}
	g.face, g.faceAt[p.N-first] = kept, int32(len(kept))
}

// facesFrom gives the face strips of blades from height i on.
func (g *grid) facesFrom(p *Profile, i int) []faceStrip {
	i = min(max(i-(p.N+1-len(g.faceAt)), 0), len(g.faceAt)-1)
	return g.face[g.faceAt[i]:]
}

// facesOf gives the face strips of a blade at height i.
func (g *grid) facesOf(p *Profile, i int) []faceStrip {
	l := g.facesFrom(p, i)
	n := 0
	for n < len(l) && l[n].i == i {
		n++
	}
	return l[:n]
}

// Ends reports whether paths of this side may end with a face strip.
func (s *Side) Ends() bool { return s.face && s.Left }

// Starts reports whether paths of this side may begin with a face strip.
func (s *Side) Starts() bool { return s.face && !s.Left }

// First gives the first entry of a fixed blade that does not stand before the board.
func (s *Side) First() int {
	if s.Starts() && s.P.Base+s.offset(s.Moving)+s.P.M.Kerf <= 0 {
		return 1
	}
	return 0
}

// faced gives the heights of the blade with k to come, and that of entry 0 on the left
// side.
func (s *Side) faced(k int) (g *grid, zero int) {
	off := s.offset(k)
	if !s.Left {
		return s.P.grid(off), 0
	}
	if off == 0 {
		return s.P.grid(0), s.P.N - 1
	}
	return s.P.grid(s.P.M.Step - off), s.P.N - 2
}

// layFaces lays the face strips that end a path.
func (s *Side) layFaces(k, st int, at []int64) {
	lo, hi := s.window(k)
	if !s.Ends() || !s.Parks(k) {
		return
	}
	g, zero := s.faced(k)
	s.P.Over(2 * len(g.face))
	for _, x := range g.face {
		if e := zero - x.i; e >= lo && e < hi {
			s.States.After(st, x.w, s.P.Y(x.i)+g.off, x.cut.N, func(int) { at[e] = max(at[e], x.value) })
		}
	}
}

// FaceEnds calls f with every face strip that ends a path at an entry of the blade with k
// to come, with a state to come, and is worth at least need.
func (s *Side) FaceEnds(k, st, e int, need int64, f func(Strip)) {
	g, zero := s.faced(k)
	for _, x := range g.facesOf(s.P, zero-e) {
		if s.P.Over(4) {
			return
		}
		if x.value < need {
			continue
		}
		y := s.P.Y(x.i) + g.off
		allowed := false
		s.States.After(st, x.w, y, x.cut.N, func(int) { allowed = true })
		if allowed {
			f(Strip{Want: x.w, End: e, Score: x.w.Strip(y, x.cut)})
		}
	}
}

// closeFaces computes for every level what paths that begin with a face strip bring, if
// the fixed blade may stand before the face.
func (s *Side) closeFaces() {
	if !s.Starts() || s.top[0] >= s.First() {
		return
	}
	n, q := s.facesAsked(), s.States.Count
	for k := range s.Moving {
		g, _ := s.faced(k)
		lo, hi := s.window(k)
		for st := range q {
			same := s.levels[k*q+st].at
			if same == nil || s.Whole && st < q-1 {
				continue
			}
			v := s.P.ints(n)
			fill(v, never)
			if s.P.Over(n + 4*len(g.face)) {
				return
			}
			for _, x := range g.facesFrom(s.P, lo) {
				if x.i >= hi {
					break
				}
				if same[x.i] < 0 { // whatever the state
					continue
				}
				s.States.After(st, x.w, s.P.Y(x.i)+g.off, x.cut.N, func(to int) {
					if beyond := s.levels[k*q+to].at[x.i]; beyond >= 0 {
						i := min(x.i, n-1)
						v[i] = max(v[i], x.value+beyond)
					}
				})
			}
			for i := n - 2; i >= 0; i-- {
				v[i] = max(v[i], v[i+1])
			}
			s.levels[k*q+st].faces = v
		}
	}
}

// facesAsked is how many entries of a level faceRest is asked about: a fixed blade that
// paths with a face strip begin at stands before First.
func (s *Side) facesAsked() int {
	if !s.Starts() {
		return 0
	}
	return min(max(s.Apart(s.Moving), 0)+s.First()+1, s.P.N)
}

// faceRest is Rest for paths that begin with a face strip.
func (s *Side) faceRest(k, st, i int) int64 {
	if k < 0 || i >= s.P.N || !s.Starts() || s.levels[k*s.States.Count+st].faces == nil {
		return never
	}
	return s.levels[k*s.States.Count+st].faces[max(i, 0)]
}

// FaceStarts calls f with every face strip that ends at an entry or beyond, with k blades
// and a state to come, and that with the most beyond it is worth at least need.
func (s *Side) FaceStarts(k, st, from int, need int64, f func(Strip)) {
	if k < 0 || s.faceRest(k, st, from) < need {
		return
	}
	g, _ := s.faced(k)
	for _, x := range g.facesFrom(s.P, from) {
		if s.P.Over(4) {
			return
		}
		y := s.P.Y(x.i) + g.off
		s.States.After(st, x.w, y, x.cut.N, func(to int) {
			if beyond := s.At(k, to, x.i); beyond >= 0 && x.value+beyond >= need {
				f(Strip{x.w, x.i, to, x.w.Strip(y, x.cut)})
			}
		})
	}
}
