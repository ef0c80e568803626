package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/unit"
)

// Pack is a pack as received and what is known of its boards.
type Pack struct {
	ID, Supplier         string
	Species, Grade       string
	Thickness            unit.Length // nominal
	Price                int64       // millionths of money per thousand board feet
	Tally                *Supplied   // nil: none came with it
	Boards               []Board     // in the order of the tally
	Basis                Basis       // of the boards as measured
	Scope                Scope
	Runs                 []Run
	LeastWidth, LeastLen unit.Length // narrower or shorter boards are findings
	// Scant is how much thinner than nominal a board may be; below 0: ScantTolerance of
	// the basis.
	Scant unit.Length
}

// Scope says which boards of the pack were measured.
type Scope int

// The scopes.
const (
	// WholePack: all boards of the pack; some may be marked as consumed.
	WholePack Scope = iota
	// ConsumedSoFar: only the boards already consumed, as they reached the saw.
	ConsumedSoFar
)

// Run is the lumber of the pack consumed by a run of a line, of which only sums are
// known. Its boards are not in Pack.Boards unless those are the whole pack; in that case
// they are not marked as consumed there.
type Run struct {
	Boards int64
	Face   unit.Area
	Length unit.Length // of all boards together; 0: not known
}

// boardFeet gives a run's lumber: its face times the thickness that the rule uses.
func (r Run) boardFeet(rule Rule, nominal unit.Length) *big.Rat {
	t := counted(nominal)
	if rule == ExactVolume || rule == MetricVolume {
		t = nominal
	}
	v := new(big.Int).Mul(big.NewInt(int64(r.Face)), big.NewInt(2*int64(unit.Micrometre)))
	return new(big.Rat).SetFrac(v.Mul(v, big.NewInt(int64(t))), doubleBoardFoot)
}

// within bounds the difference between a run's lumber by the rule and its face times
// thickness. A rule that rounds may change each board by up to half a foot, and discards
// what lengths have beyond whole feet; widths and lengths are taken as equal for all
// boards, since only their sums are known.
func (r Run) within(in Instrument, rule Rule, nominal unit.Length) (less, more *big.Rat) {
	if r.Boards == 0 || r.Length == 0 {
		return new(big.Rat), new(big.Rat)
	}
	mean := Board{Pieces: r.Boards, Length: r.Length / unit.Length(r.Boards)}
	mean.Width = unit.Length(float64(r.Face) * float64(unit.Micrometre) / float64(r.Length))
	if rule == ExactVolume || rule == MetricVolume {
		by := ratOf(in.volume(ExactVolume, []Board{mean}, nominal, nil))
		return by, by
	}
	by := ratOf(in.volume(ExactVolume, []Board{mean}, counted(nominal), nil))
	half := thick(r.Boards, 2, nominal)
	foot := ratOf(float64(r.Boards) * float64(mean.Width) / float64(unit.Foot))
	foot.Mul(foot, thick(1, 1, nominal))
	more = new(big.Rat).Add(by, half)
	return new(big.Rat).Add(more, foot), more
}

// Form is how a supplier's tally is written.
type Form int

// The forms.
const (
	// Total is a number of board feet.
	Total Form = iota
	// Counts is pieces by width and length.
	Counts
	// Surfaces is pieces by surface measure.
	Surfaces
)

// Supplied is a supplier's tally. It is taken to follow the governing rule.
type Supplied struct {
	Form      Form
	Basis     Basis
	BoardFeet int64     // Total: millionths of a board foot
	Counts    []Board   // Counts: the pieces of each size, in the order of the tally
	Surfaces  []Surface // Surfaces
}

// Surface is a line of a surface-measure tally.
type Surface struct {
	SquareFeet int64 // of one piece
	Pieces     int64
}

// boardFeet gives the tally by the governing rule, and the error that its own rounding
// may cause: suppliers write a total in whole board feet.
func (s *Supplied) boardFeet(r Rule, nominal unit.Length) (feet, within *big.Rat) {
	within = new(big.Rat)
	switch s.Form {
	case Counts:
		return Measure(s.Counts, nominal, nil).BoardFeet(r, nominal), within
	case Surfaces:
		var sum int64
		for _, l := range s.Surfaces {
			sum += l.SquareFeet * l.Pieces
		}
		return thick(sum, 1, nominal), within
	case Total:
	}
	return big.NewRat(s.BoardFeet, 1_000_000), within.SetFrac64(1, 2)
}

// pieces gives the number of boards by the tally; 0: not stated.
func (s *Supplied) pieces() (n int64) {
	for _, b := range s.Counts {
		n += b.Pieces
	}
	for _, l := range s.Surfaces {
		n += l.Pieces
	}
	return n
}

// ScantTolerance is how much thinner than nominal a board may be. Green lumber must be of
// full thickness. Kiln-dried lumber of 3/8 in to 1 3/4 in may be 1/16 in scant, of 2 in
// and thicker 1/8 in (NHLA, Standard Kiln Dried Rule, 2023, p. 56); thicknesses in
// between count with the former.
func ScantTolerance(nominal unit.Length, b Basis) unit.Length {
	switch {
	case b == Gross || 8*nominal < 3*unit.Inch:
		return 0
	case nominal < 2*unit.Inch:
		return unit.Inch / 16
	}
	return unit.Inch / 8
}
