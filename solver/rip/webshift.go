package rip

// A cutting that is possible a stop higher on the board is the same for the blades with
// the fence a stop nearer: what lies between its strips stays where it was, what stands
// beyond the wood has more room and what stands before it less. So beyond the fence that
// suits fence and leading blades best, a cutting comes first only if it is not possible a
// stop higher, and before the one that suits fence and trailing blades best only if it is
// not possible a stop lower. On boards with plenty of clear wood such cuttings are few.

// unshifted gives the interval of fences over which all cuttings of the web count.
func (t *settler) unshifted(w *web) (lo, hi int64) {
	b := &t.way
	lo, hi = t.f.hi, t.f.lo
	last := -1
	for i := range t.layers {
		led := false
		for x := w.begun[i]; x < w.begun[i+1] && !led; x++ {
			t.s.poll(int(x))
			led = w.leads[x] == leadIdle
		}
		if k := t.cleared[i]; led && k != last {
			last = k
			b.reset(t.f)
			b.both(t.in.fence0)
			if k > 0 {
				b.within(t.leadFrom(k), t.f.hi)
			}
			for m := range k {
				b.fall(t.falls[m] - t.clearBefore(m, k))
			}
			if f, ok := b.turn(t.in, &t.turns); ok {
				hi = max(hi, f)
			}
		}
	}
	last = -1
	for _, x := range w.ends {
		t.s.tick(1)
		j := int(t.nodes.at(w.at[x]).j)
		k := max(t.clears, j+1)
		if k == last {
			continue
		}
		last = k
		b.reset(t.f)
		b.both(t.in.fence0)
		b.within(t.f.lo, t.trailTo(j))
		for m := k; m < len(t.in.blades); m++ {
			b.rise(t.rises[m] - t.clearBeyond(m, k))
		}
		if f, ok := b.turn(t.in, &t.turns); ok {
			lo = min(lo, f)
		}
	}
	return lo, max(lo, hi)
}

// highest gives the web of the cuttings that are not possible a stop higher, and of some
// others; lowest that of those not possible a stop lower.
func (t *settler) highest(w *web) *web {
	up, _ := t.shifts(w)
	return t.stuck(w, up)
}

func (t *settler) lowest(w *web) *web {
	_, down := t.shifts(w)
	return t.stuck(w, down)
}

// shifts gives for each node the one a stop higher or lower that is otherwise alike, or
// -1.
func (t *settler) shifts(w *web) (up, down []int32) {
	up, down = t.room.ints.take(len(w.at)), t.room.ints.take(len(w.at))
	t.s.tick(int64(len(up))/64 + 1)
	for x := range up {
		up[x], down[x] = -1, -1
	}
	side := func(first, end int32) {
		y := first
		for x := first; x < end; x++ {
			t.s.tick(1)
			n := t.nodes.at(w.at[x])
			for y < end && t.height(w, y) < n.a+t.in.step {
				y++
			}
			for z := y; z < end && t.height(w, z) == n.a+t.in.step; z++ {
				t.s.poll(int(z))
				if m := t.nodes.at(w.at[z]); m.used == n.used && m.kind == n.kind && m.score == n.score {
					up[x], down[z] = z, x
				}
			}
		}
	}
	for i := range w.ended {
		side(w.begun[i], w.ended[i])
		side(w.ended[i], w.begun[i+1])
	}
	return up, down
}
