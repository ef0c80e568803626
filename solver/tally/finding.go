package tally

import "github.com/ripwright/ripwright/solver/unit"

// Kind of a finding.
type Kind int

// The kinds.
const (
	Short  Kind = iota // shorter than the least length
	Narrow             // narrower than the least width
	Scant              // thinner than nominal less the tolerance
)

// Finding is a board outside the limits set for its pack.
type Finding struct {
	Board           int // index in Pack.Boards
	Kind            Kind
	Measured, Least unit.Length
}

// findings lists boards that were read as short, narrow or scant. Measurement error is
// not taken into account.
func (p *Pack) findings() (all []Finding) {
	tolerance := p.Scant
	if tolerance < 0 {
		tolerance = ScantTolerance(p.Thickness, p.Basis)
	}
	for i := range p.Boards {
		b := &p.Boards[i]
		check := func(k Kind, measured, least unit.Length) {
			if measured < least {
				all = append(all, Finding{i, k, measured, least})
			}
		}
		check(Short, b.Length, p.LeastLen)
		check(Narrow, b.Width, p.LeastWidth)
		if b.Thickness > 0 {
			check(Scant, b.Thickness, p.Thickness-tolerance)
		}
	}
	return all
}
