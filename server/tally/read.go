package tally

import (
	"fmt"
	"math"
	"strconv"
	"unicode/utf8"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
)

// limits is what a number may be; with above its least value is not taken.
type limits struct {
	least, most float64
	above       bool
}

func (g limits) String() string {
	if g.above {
		return fmt.Sprintf("above %s and at most %s", plain(g.least), plain(g.most))
	}
	return plain(g.least) + " to " + plain(g.most)
}

func plain(v float64) string {
	if math.Abs(v) < 1e8 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// The limits that the schema's comments publish.
var (
	widthIn     = limits{0, 157, true}
	lengthFt    = limits{0, 65, true}
	thicknessIn = limits{0, 78, false}
	nominalIn   = limits{0, 78, true}
	widthMM     = limits{0, 4000, true}
	lengthMM    = limits{0, 20000, true}
	thicknessMM = limits{0, 2000, false}
	leastMM     = limits{0, 4000, false}
	shortestMM  = limits{0, 20000, false}
	alongMM     = limits{0, 20000, false}
	acrossMM    = limits{-2000, 2000, false}
	errorMM     = limits{0, 25, false}
	price       = limits{0, 1e6, false}
	boardFeet   = limits{0, 1e9, false}
	someFeet    = limits{0, 1e9, true}
	percent     = limits{0, 50, false}
	moisture    = limits{0, 250, false}
	coefficient = limits{0, 0.02, false}
	faceM2      = limits{0, 9000, false}
	totalM      = limits{0, 1e6, false}
)

const (
	maxText    = 128 // characters
	maxSpecies = 200
	maxLumber  = 10_000
	millionths = 1e6
)

// reader collects what is wrong while it converts. Paths are those of the
// request.
type reader struct {
	faults fault.List
}

// number rounds v times scale to a whole number.
func (r *reader) number(path string, v float64, g limits, scale float64) int64 {
	if !(v >= g.least && v <= g.most) || g.above && v == g.least {
		r.faults.Add(path, "is %g; must be a number, %s", v, g)
		return 0
	}
	return int64(math.Round(v * scale))
}

// size is number for what must not round to nothing.
func (r *reader) size(path string, v float64, g limits, of unit.Length) unit.Length {
	n := r.number(path, v, g, float64(of))
	if n == 0 && v > 0 && v <= g.most && g.above {
		r.faults.Add(path, "is %g, which rounds to 0 nanometres; must be %s", v, g)
	}
	return unit.Length(n)
}

func (r *reader) plain(path string, v float64, g limits) float64 {
	r.number(path, v, g, 1)
	return v
}

func (r *reader) text(path, v string, needed bool) string {
	if n := utf8.RuneCountInString(v); n > maxText {
		r.faults.Add(path, "has %d characters; at most %d are taken", n, maxText)
	}
	if needed && v == "" {
		r.faults.Add(path, "is empty; must have 1 to %d characters", maxText)
	}
	return v
}

func (r *reader) entries(path string, n, least, most int) bool {
	if n < least || n > most {
		r.faults.Add(path, "has %d entries; must have %d to %d", n, least, most)
		return false
	}
	return true
}

func (r *reader) pieces(path string, n *int32) int64 {
	switch {
	case n == nil:
		return 1
	case *n < 1 || *n > core.MaxPieces:
		r.faults.Add(path, "is %d; must be 1 to %d", *n, core.MaxPieces)
		return 1
	}
	return int64(*n)
}

// choice reads an enum that the caller may leave out.
func choice[E ~int32, V any](r *reader, path string, e E, names map[int32]string, values map[E]V) V {
	v, ok := values[e]
	if !ok {
		r.faults.Add(path, "is %d; must be %s", e, oneOf(names))
	}
	return v
}

// oneOf lists an enum's names without the first, which says nothing.
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
