package rip

import (
	"github.com/ripwright/ripwright/testdata/brief"
	"math/rand/v2"
	"testing"
)

// Settling finds the least travel of all cuttings and the first fence that has it, as
// checking every fence separately does.
func TestSettled(t *testing.T) {
	brief.Skip(t)
	few, shifted, skips, most := 0, 0, 0, 0
	websOf(t, 400, func(r *rand.Rand, u *settler, w *web) {
		travel, fence := int64(unreached), int64(0)
		for f := u.f.lo; f <= u.f.hi; f += u.in.step {
			if b := u.pass(w, fences{f, f}).lo; b < travel {
				travel, fence = b, f
			}
		}
		found := u.search(w)
		if found != (travel < unreached) || found && (u.travel != travel || u.fence != fence) {
			t.Errorf("found %v: %d at %d, want %d at %d", found, u.travel, u.fence, travel, fence)
		}
		most = max(most, len(w.at))
		skips += min(len(w.skips), 1)
		if u.few(w) {
			few++
			u.have = false
			if u.visit(w, u.f, u.bound(w, u.f)) != found || found && (u.travel != travel || u.fence != fence) {
				t.Errorf("by intervals: %d at %d, want %d at %d", u.travel, u.fence, travel, fence)
			}
			for range 10 {
				at := u.f.lo + r.Int64N((u.f.hi-u.f.lo)/u.in.step+1)*u.in.step
				f := fences{at, at}
				u.have = false
				if want := u.pass(w, f).lo; u.each(w, f) != (want < unreached) || u.have && u.travel != want {
					t.Errorf("one by one at %d: %d, want %d", at, u.travel, want)
				}
			}
		} else if len(u.highest(w).at) < len(w.at) && len(u.lowest(w).at) < len(w.at) {
			shifted++
		}
	})
	if few < 150 || shifted < 10 || skips < 100 || most < 900 {
		t.Errorf("%d webs of few cuttings, %d of many of which some can be left out, %d with wood left between strips, the largest of %d nodes",
			few, shifted, skips, most)
	}
}

// A bound over an interval is at most any travel in it, and an exact one is the travel at
// both ends, with no smaller travel in between.
func TestTravelBound(t *testing.T) {
	exact := 0
	websOf(t, 80, func(r *rand.Rand, u *settler, w *web) {
		stops := (u.f.hi-u.f.lo)/u.in.step + 1
		for range 20 {
			lo := u.f.lo + r.Int64N(stops)*u.in.step
			f := fences{lo, min(lo+r.Int64N(1+r.Int64N(stops))*u.in.step, u.f.hi)}
			least := int64(unreached)
			for g := f.lo; g <= f.hi; g += u.in.step {
				least = min(least, u.pass(w, fences{g, g}).lo)
			}
			b := u.bound(w, f)
			if b.least() > least || b.exact && b.least() != least {
				t.Errorf("bound %+v, least travel %d", b, least)
			}
			if !b.exact || f.single() || least >= unreached {
				continue
			}
			exact++
			if at, end := u.pass(w, fences{f.lo, f.lo}).lo, u.pass(w, fences{f.hi, f.hi}).lo; b.lo != at || b.hi != end {
				t.Errorf("exact bound %+v, travel %d and %d at the ends", b, at, end)
			}
		}
	})
	if exact < brief.Fewer(50) {
		t.Errorf("only %d bounds were exact", exact)
	}
}

// Idle blades between two others move as little as the best of all their places requires.
func TestIdleBlades(t *testing.T) {
	pushed := 0
	websOf(t, 200, func(r *rand.Rand, u *settler, _ *web) {
		step := u.in.step
		for range 20 {
			k := skip{from: r.IntN(len(u.in.blades) - 1)}
			k.to = k.from + 1 + r.IntN(min(len(u.in.blades)-1-k.from, 3))
			at := u.f.lo + r.Int64N((u.f.hi-u.f.lo)/step+1)*step
			f := fences{at, at}
			a := u.in.stopDown(u.in.blades[k.from].current-at) + (r.Int64N(100)-50)*step
			q := a + int64(k.to-k.from)*u.spread + r.Int64N(60)*step
			want := u.idle(k.from+1, k.to, a+at+u.spread, q+at)
			least := u.leastOver(&k)
			if got := least + u.pushOut(k.from, k.to, a, f).lo + u.pushIn(k.from, k.to, q, f).lo; got != want {
				t.Errorf("pushed by %d, want %d", got, want)
			}
			u.way.reset(u.f)
			u.passOver(&k, a, q)
			if got := u.way.travel(at); got != want {
				t.Errorf("as a sum of parts by %d, want %d", got, want)
			}
			pushed += int(min(want-least, 1))
		}
	})
	if pushed < brief.Fewer(500) {
		t.Errorf("only %d were pushed", pushed)
	}
}

// idle tries all stops from lo for blades m to end-1, in order, that leave room for blade
// end at q.
func (t *settler) idle(m, end int, lo, q int64) int64 {
	if m == end {
		return 0
	}
	best := int64(unreached)
	for x := lo; x+int64(end-m)*t.spread <= q; x += t.in.step {
		best = min(best, abs(x-t.in.blades[m].current)+t.idle(m+1, end, x+t.spread, q))
	}
	return best
}

// A sum of distances turns at the first stop at which checking every stop finds it least.
func TestBends(t *testing.T) {
	in := &instance{step: 5}
	var scratch []bend
	for seed := range uint64(brief.Fewer(20000)) {
		r := rand.New(rand.NewPCG(seed, 2))
		var b bends
		b.reset(fences{-20 * 5, 20 * 5})
		if r.IntN(2) == 0 {
			b.within(-r.Int64N(25)*5, r.Int64N(25)*5)
		}
		for range r.IntN(8) {
			switch at := r.Int64N(241) - 120; r.IntN(3) {
			case 0:
				b.both(at)
			case 1:
				b.rise(at)
			case 2:
				b.fall(at)
			}
		}
		want := b.lo
		for f := b.lo; f <= b.hi; f += in.step {
			if b.travel(f) < b.travel(want) {
				want = f
			}
		}
		if got, ok := b.turn(in, &scratch); ok != (b.lo <= b.hi) || ok && got != want {
			t.Fatalf("seed %d: turns at %d (%v), want %d: %+v", seed, got, ok, want, b)
		}
	}
}
