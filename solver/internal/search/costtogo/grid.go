package costtogo

import "github.com/ripwright/ripwright/solver/unit"

// grid is the heights of blades that stand off the stops by an offset: height i is Base +
// i Step + off. Moving blades stand at stops; a fixed one may stand between two stops, at
// the same distance for any fence.
type grid struct {
	id        int
	off       int64
	nearN     int // strips that begin below are not clear on the near side
	farN      int // strips that end from here on are not clear on the far side
	near, far counts
	face      []faceStrip
	faceAt    []int32 // by height from 0 on: where its face strips begin
}

// counts is the most that strips that begin, or end, at rough heights count, by class,
// and the least, if the place of the board is not known.
type counts struct{ most, least [][]int64 }

// grid gives the heights of an offset, measured when first asked for.
func (p *Profile) grid(off int64) *grid {
	for _, g := range p.grids {
		if g.off == off {
			return g
		}
	}
	g := &grid{id: len(p.grids), off: off}
	if p.of != nil {
		p.widen(g, p.of.grid(off))
	} else {
		p.measure(g)
	}
	p.grids = append(p.grids, g)
	return g
}

// offset gives how far beyond a stop a blade stands.
func (p *Profile) offset(at int64) int64 { return at - p.M.StopDown(at) }

func (p *Profile) measure(g *grid) {
	m := p.M
	base := p.Base + g.off
	g.nearN = min(max(int(unit.CeilDiv(m.FullLo-m.Kerf-base, m.Step)), 0), p.N)
	g.farN = min(max(int(unit.FloorDiv(m.FullHi-base, m.Step))+1, 0), p.N)
	near, far := make([][]int64, len(p.least)), make([][]int64, len(p.least))
	for c := range p.least {
		near[c], far[c] = p.ints(g.nearN), p.ints(p.N-g.farN)
	}
	g.near, g.far = counts{near, near}, counts{far, far}
	for i := range g.nearN {
		if p.Over(p.measuring()) {
			return
		}
		lo := p.Y(i) + g.off + m.Kerf
		p.count(lo, max(m.FullHi, lo), func(c int, n int64) { near[c][i] = n })
	}
	for i := g.farN; i < p.N; i++ {
		if p.Over(p.measuring()) {
			return
		}
		hi := p.Y(i) + g.off
		p.count(min(m.FullLo, hi), hi, func(c int, n int64) { far[c][i-g.farN] = n })
	}
	if m.Board.StraightNear {
		p.measureFace(g)
	}
}
