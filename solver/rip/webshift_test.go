package rip

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// What is left out of the webs beyond the fences that suit what moves with the fence
// never comes first, over whatever interval.
func TestShifted(t *testing.T) {
	smaller, beyond := 0, 0
	websOf(t, 400, func(r *rand.Rand, u *settler, w *web) {
		all := u.f
		stops := (all.hi-all.lo)/u.in.step + 1
		for range 10 {
			u.f.lo = all.lo + r.Int64N(stops)*u.in.step
			u.f.hi = min(u.f.lo+r.Int64N(stops)*u.in.step, all.hi)
			lo, hi := u.unshifted(w)
			high, low := u.highest(w), u.lowest(w)
			smaller += min(len(w.at)-len(high.at), len(w.at)-len(low.at), 1)
			u.have = false
			for f := u.f.lo; f <= u.f.hi; f += u.in.step {
				u.note(u.pass(w, fences{f, f}).lo, f)
			}
			want := *u
			u.have = false
			for f := u.f.lo; f <= u.f.hi; f += u.in.step {
				part := w
				if f < lo {
					part = low
				} else if f > hi {
					part = high
				}
				u.note(u.pass(part, fences{f, f}).lo, f)
			}
			if u.have != want.have || u.have && (u.travel != want.travel || u.fence != want.fence) {
				t.Errorf("%d at %d, want %d at %d", u.travel, u.fence, want.travel, want.fence)
			}
			if u.have && (u.fence < lo || u.fence > hi) {
				beyond++
			}
		}
	})
	if smaller < 400 || beyond < 400 {
		t.Errorf("only %d webs were made smaller, and %d fences lie beyond", smaller, beyond)
	}
}

// cuttings lists the web's as far as they are few, each by where its blades stand.
func (t *settler) cuttings(w *web, most int, do func(nodes []int32, edge bool)) bool {
	n := 0
	var back func(nodes []int32)
	back = func(nodes []int32) {
		x := nodes[len(nodes)-1]
		i := t.nodes[w.at[x]].j
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

// A cutting that is left out can be had a stop higher or lower, all of it.
func TestLeftOut(t *testing.T) {
	dropped := 0
	websOf(t, 500, func(_ *rand.Rand, u *settler, w *web) {
		stands := func(nodes []int32, by int64) string {
			at := ""
			for _, x := range nodes {
				at += fmt.Sprintln(u.nodes[w.at[x]].j, u.height(w, x)+by)
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
	if dropped < 10000 {
		t.Errorf("only %d cuttings were left out", dropped)
	}
}
