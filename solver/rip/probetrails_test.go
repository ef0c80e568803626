package rip

import (
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/unit"
)

// ProbeTrails is a Probe for a saw without a fixed blade that has swept a wider interval
// before it aims at one, as the search does: then the least moves of blades are better
// known, for plans that can still be the best at their fence.
type ProbeTrails struct{ *Probe }

// NewProbeTrails gives one; nil if a blade is fixed.
func NewProbeTrails(p *Problem, o Options, skew unit.Length, seed uint64) (*ProbeTrails, error) {
	b, err := NewProbe(p, o, skew, seed)
	if err != nil || b.s.anchored {
		return nil, err
	}
	return &ProbeTrails{b}, nil
}

// Aim sweeps an interval around the one that it aims at.
func (b *ProbeTrails) Aim(lo, hi int64) {
	s := b.s
	step := s.in.step
	from := lo - b.r.Int64N((lo-s.in.fenceLo)/step+1)*step
	to := hi + b.r.Int64N((s.in.fenceHi-hi)/step+1)*step
	var trails [][]int64
	if from < to {
		s.aim(fences{from, to}, nil, nil)
		s.sweep()
		trails = s.trail()
	}
	b.Probe.Aim(lo, hi)
	s.aim(fences{lo, hi}, trails, nil)
}

// Instead gives none: dominated parts are known by then.
func (b *ProbeTrails) Instead() []oracle.Pair { return nil }
