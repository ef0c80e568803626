package saw

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"

	"github.com/ripwright/ripwright/solver/wood"
)

// Figure is a named figure that a fingerprint covers.
type Figure struct {
	Name  string
	Value int64
}

// ArborFingerprint identifies what a controller must know of a saw before it sets a plan:
// kerf, step, least gap, the fence's travel and the blades with their places and travels.
// Present positions and everything with a price are left out.
//
// Fingerprints stay the same across releases. The hash covers one line for each figure
// that is not 0, with its name, in a fixed order, in whole nanometres: a figure that a
// later release adds does not change the fingerprint of a saw without it.
func (s *Saw) ArborFingerprint() string { return hash(s.arbor()) }

// Fingerprint identifies the whole saw: everything that a plan depends on. more are
// figures of the saw that the solver does not need.
func (s *Saw) Fingerprint(more ...Figure) string {
	l := s.Limits
	all := append(s.arbor(),
		Figure{"edge trim", int64(s.Trim)}, Figure{"least strip", int64(s.LeastStrip)}, Figure{"skew", int64(s.Skew)},
		Figure{"least length", int64(l.MinLength)}, Figure{"greatest length", int64(l.MaxLength)},
		Figure{"least width", int64(l.MinWidth)}, Figure{"greatest width", int64(l.MaxWidth)},
		Figure{"least thickness", int64(l.MinThickness)}, Figure{"greatest thickness", int64(l.MaxThickness)},
		Figure{"fed again from", int64(s.Rerip.Width)}, Figure{"fed again worth", s.Rerip.Value})
	for t := wood.AsScanned + 1; int(t) < wood.Turns; t++ {
		if way, can := s.Turning(t); can {
			what := "turned " + t.String()
			all = append(all, Figure{what, 1}, Figure{what + " costs", way.Cost})
		}
	}
	return hash(append(all, more...))
}

func (s *Saw) arbor() []Figure {
	all := []Figure{
		{"kerf", int64(s.Kerf)}, {"step", int64(s.Step)}, {"gap", int64(s.Gap)},
		{"fence from", int64(s.Fence.Min)}, {"fence to", int64(s.Fence.Max)}, {"blades", int64(len(s.Blades))},
	}
	for i, b := range s.Blades {
		of := func(what string, v int64) { all = append(all, Figure{fmt.Sprintf("blade %d %s", i, what), v}) }
		if b.Moving {
			of("moves", 1)
			of("from", int64(b.Travel.Min))
			of("to", int64(b.Travel.Max))
		} else {
			of("at", int64(b.At))
		}
	}
	return all
}

func hash(all []Figure) string {
	h := sha256.New()
	for _, f := range all {
		if f.Value != 0 {
			_, _ = io.WriteString(h, fmt.Sprintf("%s %d\n", f.Name, f.Value)) // a hash never fails
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}
