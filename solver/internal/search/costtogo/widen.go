package costtogo

// Widened gives the profile of a board that may lie anywhere from its present place to a
// number of stops further up: at each height the strips that some place of the board
// allows, with the worth of the best place and the use of a cap of the worst one. A
// height is a place on the arbor at the first fence. Tables over it, with a side Within
// that fence alone, bound what an interval of fences allows with travels as they are,
// while tables over the board itself take travels to be longer by the interval: the
// former are sharp where blades cannot reach the edges of the board, the latter where the
// board is narrower than their reach. Release gives the memory back. It is nil if the
// memory is not enough.
func (p *Profile) Widened(by int, caps bool) *Profile {
	if n := 8 * p.widenedCells(by); !p.budget.Fits(n) || !p.budget.Hold(n) {
		return nil
	}
	return &Profile{M: p.M, N: p.N + by, Base: p.Base, Spread: p.Spread, Slack: p.Slack, shift: p.shift, buf: p.buf, budget: p.budget,
		items: p.items, least: p.least, of: p, by: by, caps: caps}
}

// widenedCells is how many numbers a widened profile and its sides hold.
func (p *Profile) widenedCells(by int) (n int64) {
	for _, g := range p.grids {
		n += int64(g.nearN + p.N - g.farN + 2*by)
	}
	return n * int64(4*len(p.least)+2*len(p.items))
}

// widen gives for the heights of a grid what strips count at the best place of the board,
// and what at the worst.
func (p *Profile) widen(g, from *grid) {
	g.nearN, g.farN = from.nearN, from.farN+p.by
	if p.caps { // strips that are clear in one place may use up less in another
		g.nearN, g.farN = min(from.nearN+p.by, p.N), from.farN
	}
	g.near = p.smear(from.near.most, g.nearN, true)
	g.far = p.smear(from.far.most, p.N-g.farN, false)
}

// smear gives for a number of heights the most and the least that one of them counts as
// the board lies further up.
func (p *Profile) smear(src [][]int64, n int, near bool) (c counts) {
	most := func(a, b int64) bool { return a >= b }
	least := func(a, b int64) bool { return a <= b }
	for _, v := range src {
		hi, lo := p.ints(n), p.ints(n)
		p.window(hi, v, p.by, near, p.M.Length, most)
		p.window(lo, v, p.by, near, p.M.Length, least)
		c.most, c.least = append(c.most, hi), append(c.least, lo)
	}
	return c
}

// window fills dst with the best of src over the entries that each of its own may stand
// for: on the near side up to by fewer, on the far side as many of those that are left.
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
