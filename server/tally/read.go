package tally

import (
	"math"
	"unicode/utf8"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
)

// ranges are the published limits.
var ranges = wire.ForTally

// maxAcross is the greatest width of a board, in m.
const maxAcross = 4

const millionths = 1e6

// reader collects faults while it converts. Paths are those of the request.
type reader struct {
	faults fault.List
}

// number rounds v times scale to a whole number.
func (r *reader) number(path string, v float64, g limits.Range, scale float64) int64 {
	if !g.Holds(v) {
		r.faults.Because(fault.OutOfRange, path, "is %g; must be %s", v, g.Wanted())
		return 0
	}
	return int64(math.Round(v * scale))
}

// size is number for a value that must not round to zero.
func (r *reader) size(path string, v float64, g limits.Range, of unit.Length) unit.Length {
	n := r.number(path, v, g, float64(of))
	if n == 0 && v > 0 && v <= g.Most && g.Above {
		r.faults.Because(fault.OutOfRange, path, "is %g, which rounds to 0 nanometres; must be %s", v, g)
	}
	return unit.Length(n)
}

// maybe is size for a value that may be absent, which is 0.
func (r *reader) maybe(path string, v *float64, g limits.Range, of unit.Length) unit.Length {
	if v == nil {
		return 0
	}
	return r.size(path, *v, g, of)
}

func (r *reader) plain(path string, v float64, g limits.Range) float64 {
	r.number(path, v, g, 1)
	return v
}

// needed is plain for a value that may not be absent.
func (r *reader) needed(path string, v *float64, g limits.Range) {
	if v == nil {
		r.faults.Because(fault.Missing, path, "is missing; must be %s", g.Wanted())
		return
	}
	r.plain(path, *v, g)
}

func (r *reader) text(path, v string, g limits.Range) string {
	if n := utf8.RuneCountInString(v); float64(n) > g.Most {
		r.faults.Because(fault.WrongLength, path, "has %d characters; at most %g are taken", n, g.Most)
	}
	if g.Least > 0 && v == "" {
		r.faults.Because(fault.Missing, path, "is empty; must have %s characters", g)
	}
	return v
}

func (r *reader) entries(path string, n int, g limits.Range) bool {
	if !g.Holds(float64(n)) {
		r.faults.Because(fault.WrongCount, path, "has %d entries; must have %s", n, g)
		return false
	}
	return true
}

func (r *reader) pieces(path string, n *int32) int64 {
	switch {
	case n == nil:
		return 1
	case *n < 1 || *n > core.MaxPieces:
		r.faults.Because(fault.OutOfRange, path, "is %d; must be 1 to %d", *n, core.MaxPieces)
		return 1
	}
	return int64(*n)
}

// choice reads an enum that the caller may leave out.
func choice[E ~int32, V any](r *reader, path string, e E, names map[int32]string, values map[E]V) V {
	v, ok := values[e]
	if !ok {
		r.faults.Because(fault.UnknownWord, path, "is %d; must be %s", e, oneOf(names))
	}
	return v
}

// oneOf lists an enum's names without the first, which means unspecified.
func oneOf(names map[int32]string) string {
	var s string
	for i := int32(1); i < int32(len(names)); i++ {
		switch {
		case i == 1:
		case i == int32(len(names))-1:
			s += " or "
		default:
			s += ", "
		}
		s += names[i]
	}
	return s
}

func (r *reader) basis(path string, b ripwrightv1.TallyBasis, unspecified core.Basis) core.Basis {
	return choice(r, path, b, ripwrightv1.TallyBasis_name, map[ripwrightv1.TallyBasis]core.Basis{
		ripwrightv1.TallyBasis_TALLY_BASIS_UNSPECIFIED: unspecified,
		ripwrightv1.TallyBasis_TALLY_BASIS_GROSS:       core.Gross,
		ripwrightv1.TallyBasis_TALLY_BASIS_NET:         core.Net,
	})
}
