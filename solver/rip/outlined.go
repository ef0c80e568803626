package rip

import (
	"math/bits"

	"github.com/ripwright/ripwright/solver/internal/search/incumbent"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// outlined gives the instance for the start heuristics.
func (in *instance) outlined() *incumbent.Problem {
	p := &incumbent.Problem{Kerf: in.kerf, Gap: in.gap, Step: in.step, FenceLo: in.fenceLo, FenceHi: in.fenceHi, Fence0: in.fence0,
		Straight: in.straight, Clear: in.clear, FullLo: in.fullLo, FullHi: in.fullHi, OuterLo: in.outerLo, OuterHi: in.outerHi,
		Edges: int(in.edges), Defects: len(in.p.Board.Defects)}
	for j := range in.blades {
		b := &in.blades[j]
		p.Blades = append(p.Blades, incumbent.Blade{Moving: b.moving, Lo: b.lo, Hi: b.hi})
	}
	for k := range in.wants {
		w := &in.wants[k]
		it := incumbent.Item{Lo: w.lo, Hi: w.hi, ByWidth: w.byWidth(), Spotted: w.spotted()}
		if w.cap >= 0 {
			it.Open = w.open
		}
		p.Items = append(p.Items, it)
	}
	shift := in.coarse()
	var bare []wood.Stretch
	p.Strip = func(k int, near, far int64, runs []wood.Stretch) (int64, int64) {
		w := &in.wants[k]
		if w.spotted() {
			bare = wood.WithoutThose(bare[:0], runs, in.gaps, w.refused, unit.Length(near), unit.Length(far))
			runs = bare
		}
		c := w.count(runs, true)
		if c.n == 0 {
			return 0, 0
		}
		return cutShort(w.worth(far-near, c), shift), w.amount(far-near, c)
	}
	return p
}

// cutShort gives a non-negative worth without its last bits.
func cutShort(v worth, bits uint) int64 {
	if bits >= 64 {
		return v.Hi >> (bits - 64)
	}
	return int64(v.Lo>>bits | uint64(v.Hi)<<(64-bits))
}

// coarse is how many bits are cut off worths so that a plan's is below 2^50.
func (in *instance) coarse() uint {
	c := in.crude()
	n := bits.Len64(uint64(c.Hi)) + 64
	if c.Hi == 0 {
		n = bits.Len64(c.Lo)
	}
	return uint(max(n-50, 1))
}
