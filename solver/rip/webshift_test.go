package rip

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/testdata/brief"
)

// What is left out of the webs beyond the fences that suit what moves with the fence is
// no better than something at the next fences towards those.
func TestShifted(t *testing.T) {
	smaller, left := 0, 0
	websOf(t, 250, func(r *rand.Rand, u *settler, w *web) {
		all, step := u.f, u.in.step
		stops := (all.hi-all.lo)/step + 1
		least := func(w *web, f int64) int64 { return u.pass(w, fences{f, f}).lo }
		full := make([]int64, stops)
		for i := range full {
			full[i] = least(w, all.lo+int64(i)*step)
		}
		at := func(f int64) int64 { return full[(f-all.lo)/step] }
		for range 3 {
			u.f.lo = all.lo + r.Int64N(stops)*step
			u.f.hi = min(u.f.lo+r.Int64N(stops)*step, all.hi)
			lo, hi := u.unshifted(w)
			high, low := u.highest(w), u.lowest(w)
			smaller += min(len(w.at)-len(high.at), len(w.at)-len(low.at), 1)
			for f := hi + step; f <= u.f.hi; f += step {
				if part := least(high, f); part > at(f) {
					left++
					if at(f-step) > at(f) {
						t.Errorf("fence %d, from %d on: %d, though %d is best", f, hi, part, at(f))
					}
				}
			}
			for f := lo - step; f >= u.f.lo; f -= step {
				if part := least(low, f); part > at(f) {
					left++
					if at(f+step) >= at(f) {
						t.Errorf("fence %d, up to %d: %d, though %d is best", f, lo, part, at(f))
					}
				}
			}
		}
	})
	if smaller < brief.Fewer(100) || left < brief.Fewer(1000) {
		t.Errorf("only %d webs were made smaller, and at %d fences the best was left out", smaller, left)
	}
}

// cuttings lists the web's cuttings if they are few, each by the places of its blades.
func (t *settler) cuttings(w *web, most int, do func(nodes []int32, edge bool)) bool {
	n := 0
	var back func(nodes []int32)
	back = func(nodes []int32) {
		x := nodes[len(nodes)-1]
		i := t.nodes.at(w.at[x]).j
		if n > most {
			return
		}
		if w.leads[x] != noLead {
			n++
			do(nodes, w.leads[x] == leadEdge)
		}
		for _, y := range w.arcs[w.first[x]:w.first[x+1]] {
			back(append(nodes, y))
		}
		for _, k := range w.skips[w.over[i]:w.over[i+1]] {
			if !slices.Contains(k.users, x) {
				continue
			}
			for _, y := range k.nodes {
				if t.follows(&k, w.at[y], w.at[x]) {
					back(append(nodes, y))
				}
			}
		}
	}
	for _, x := range w.ends {
		back([]int32{x})
	}
	return n <= most
}

// A cutting that is left out is possible a stop higher or lower, all of it.
func TestLeftOut(t *testing.T) {
	dropped := 0
	websOf(t, 200, func(_ *rand.Rand, u *settler, w *web) {
		stands := func(nodes []int32, by int64) string {
			at := ""
			for _, x := range nodes {
				at += fmt.Sprintln(u.nodes.at(w.at[x]).j, u.height(w, x)+by)
			}
			return at
		}
		known := map[string]bool{}
		if !u.cuttings(w, 2000, func(nodes []int32, edge bool) { known[stands(nodes, 0)] = !edge }) {
			return
		}
		for by, part := range map[int64]*web{u.in.step: u.highest(w), -u.in.step: u.lowest(w)} {
			u.cuttings(w, 2000, func(nodes []int32, edge bool) {
				if !slices.ContainsFunc(nodes, func(x int32) bool { return !slices.Contains(part.at, w.at[x]) }) {
					return
				}
				dropped++
				if edge || !known[stands(nodes, by)] {
					t.Errorf("left out though stuck, edge %v:\n%s", edge, stands(nodes, 0))
				}
			})
		}
	})
	if dropped < brief.Fewer(5000) {
		t.Errorf("only %d cuttings were left out", dropped)
	}
}
