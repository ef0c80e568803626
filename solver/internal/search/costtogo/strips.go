package costtogo

import "github.com/ripwright/ripwright/solver/internal/search/model"

// Strip is a strip between two blades.
type Strip struct {
	Want  *model.Want
	End   int // entry of the blade that ends it
	State int // what it leaves of the caps that are kept
	Score model.Score
}

// Strips calls f for every strip that begins at entry i, with k blades and a state
// to come, and that with the most beyond it is worth at least need.
func (s *Side) Strips(k, st, i int, need int64, f func(Strip)) {
	if i < 0 || i >= s.P.N || k == 0 {
		return
	}
	q := s.States.Count
	below := &s.levels[(k-1)*q+st]
	for t := range s.kinds {
		x := &s.kinds[t]
		v, slope := x.full, x.slope
		if i < s.startN {
			if v = x.near.value[i]; v == never {
				continue
			}
			slope = x.near.slope[i]
		}
		last := min(i+x.hi, s.P.N-1)
		for from := i + x.lo; from <= last; {
			end := min((from/blockLen+1)*blockLen-1, last)
			if below.block[from/blockLen]+v+slope*int64(end-i-x.lo) >= need {
				for e := from; e <= end; e++ {
					if below.at[e]+v+slope*int64(e-i-x.lo) >= need {
						s.strip(x, k, st, i, e, need, f)
					}
				}
			}
			from = end + 1
		}
	}
}

func (s *Side) strip(x *kind, k, st, i, e int, need int64, f func(Strip)) {
	if e >= s.endN {
		j := e - s.endN
		if x.far.value[j]+x.far.slope[j]*int64(e-i-x.lo)+s.At(k-1, st, e) < need {
			return
		}
	}
	n := s.counted(x, i, e)
	if n == 0 {
		return
	}
	to, ok := s.States.After(st, x.w, n)
	if !ok {
		return
	}
	v, slope := s.P.value(x, n)
	if v+slope*int64(e-i-x.lo)+s.At(k-1, to, e) < need {
		return
	}
	f(Strip{x.w, e, to, x.w.Strip(int64(e-i)*s.P.M.Step-s.P.M.Kerf, n)})
}

// InWood is 1 where a blade at an entry has its kerf in the wood, or else 0.
func (s *Side) InWood(e int) int64 {
	if y := s.Y(e); y+s.P.M.Kerf > s.P.M.WoodLo && y < s.P.M.WoodHi {
		return 1
	}
	return 0
}
