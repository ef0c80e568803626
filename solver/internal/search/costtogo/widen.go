package costtogo

// Widened gives the profile of a board that lies anywhere from where it lies now to a
// number of stops further up: at each height the strips that some place of the board
// allows, worth what the best place makes them and using up of a cap what the worst
// one does. A height is a place on the arbor at the first fence. Tables over it, with
// a side Within that fence alone, bound what an interval of fences allows with the
// travels as they are, where tables over the board itself take them for longer by the
// interval: they are sharp where blades cannot reach the edges of the board, and the
// others where the board is narrower than their reach. Release takes it back. Where there
// is not the memory it is nil.
func (p *Profile) Widened(by int, caps bool) *Profile {
	w := &Profile{M: p.M, N: p.N + by, Base: p.Base, Spread: p.Spread, Slack: p.Slack, shift: p.shift, buf: p.buf, budget: p.budget,
		nearN: p.nearN, farN: p.farN + by, wide: true}
	if caps { // some strips that are clear in one place use up less in another
		w.nearN, w.farN = min(p.nearN+by, w.N), p.farN
	}
	// The sides turn what one of them sees the other way round.
	if n := int64(w.nearN+w.N-w.farN) * 8 * 6 * int64(len(p.kinds)); !p.budget.Fits(n) || !p.budget.Hold(n) {
		return nil
	}
	w.kinds = make([]kind, len(p.kinds))
	for k := range p.kinds {
		if p.Over(0) {
			break
		}
		x := &w.kinds[k]
		*x = p.kinds[k]
		x.near = w.smear(x, x.near, by, w.nearN, true)
		x.far = w.smear(x, x.far, by, w.N-w.farN, false)
	}
	return w
}

// smear gives for so many heights the best of the ends that one of them has as the
// board lies further up, and the least counted length.
func (p *Profile) smear(x *kind, e ends, by, n int, near bool) ends {
	out := ends{n: p.buf.ints(n), value: p.buf.ints(n), slope: p.buf.ints(n)}
	most := func(a, b int64) bool { return a >= b }
	least := func(a, b int64) bool { return a <= b }
	p.window(out.n, e.n, by, near, x.w.Full.N, least)
	p.window(out.value, e.value, by, near, x.full, most)
	p.window(out.slope, e.slope, by, near, x.slope, most)
	return out
}

// window fills dst with the best of src over the entries that each of its own may be:
// on the near side by fewer at most, on the far side as many of those that are left.
// Beyond src lies clear wood towards the middle of the board.
func (p *Profile) window(dst, src []int64, by int, near bool, full int64, better func(a, b int64) bool) {
	n, have := len(dst), len(src)
	at := func(i int) int { // outwards from the middle
		if near {
			return i
		}
		return n - 1 - i
	}
	from := func(q int) int64 {
		switch {
		case q >= have:
			return full
		case near:
			return src[q]
		}
		return src[have-1-q]
	}
	deq := p.buf.deq[:0]
	head := 0
	for i := range n {
		if i%blockLen == 0 && p.Over(2*blockLen) {
			break
		}
		v := from(i)
		for len(deq) > head && better(v, from(int(deq[len(deq)-1]))) {
			deq = deq[:len(deq)-1]
		}
		deq = append(deq, int32(i))
		for int(deq[head]) < i-by {
			head++
		}
		dst[at(i)] = from(int(deq[head]))
	}
	p.buf.deq = deq
}
