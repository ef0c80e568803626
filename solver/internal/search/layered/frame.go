package layered

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
)

// frame is the coordinates of a side, which rise outwards: on the left a position a is
// -a-kerf, so that kerfs lie the same way.
type frame struct {
	side   *costtogo.Side
	kerf   int64
	blades []axis // the moving ones, outwards
	first  int    // index of the blade before the first of them among all
	dir    int
}

func newFrame(s *costtogo.Side) frame {
	m := s.P.M
	f := frame{side: s, kerf: m.Kerf, dir: 1}
	f.first = s.Root
	if s.Left {
		f.dir = -1
	}
	for j := range s.Moving {
		b := &m.Blades[f.blade(j)]
		if s.Left {
			f.blades = append(f.blades, axis{f.turn(b.Hi), f.turn(b.Lo), f.turn(b.Current)})
		} else {
			f.blades = append(f.blades, axis{b.Lo, b.Hi, b.Current})
		}
	}
	return f
}

// blade gives the index among all of moving blade j.
func (f *frame) blade(j int) int { return f.first + f.dir*(j+1) }

// turn gives a position in the other coordinates, either way.
func (f *frame) turn(a int64) int64 {
	if f.side.Left {
		return -a - f.kerf
	}
	return a
}

// at gives the height of an entry.
func (f *frame) at(e int) int64 { return f.turn(f.side.Stop(e)) }

// stand gives the height of the blade with k to come at an entry.
func (f *frame) stand(k, e int) int64 { return f.turn(f.side.Y(k, e)) }

// fences gives an interval of fences.
func (f *frame) fences(lo, hi int64) (int64, int64) {
	if f.side.Left {
		return -hi, -lo
	}
	return lo, hi
}

// chains gives the moving blades outwards, and inwards from the outermost.
func (f *frame) chains() (out, in *chain) {
	step := f.side.P.M.Step
	back := slices.Clone(f.blades)
	slices.Reverse(back)
	for j, b := range back {
		back[j] = axis{-b.hi, -b.lo, -b.current}
	}
	apart := make([]int64, max(len(back)-1, 0))
	for j := range apart {
		k := len(back) - 1 - j
		apart[j] = f.stand(k-1, f.side.Apart(k)) - f.stand(k, 0)
	}
	inwards := slices.Clone(apart)
	slices.Reverse(inwards)
	return newChain(f.blades, step, apart), newChain(back, step, inwards)
}
