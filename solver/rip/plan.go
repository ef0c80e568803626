package rip

import (
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// None stands for no item in a pocket.
const None = -1

// FenceSide stands for the straight near edge, at the fence, as the left bound
// of a pocket.
const FenceSide = -1

// Plan is one way to rip the board.
type Plan struct {
	// Turn is how the board is turned before it is fed; everything in the plan refers to
	// the board as it then lies. The search of this package turns no board; see package
	// turned.
	Turn wood.Turn
	// Skew is the angle at which the infeed sets the board, in nanometres per
	// metre; all heights of the plan are those of the board as it then lies.
	Skew   unit.Length
	Fence  unit.Length   // position of the fence face on the arbor
	Blades []unit.Length // position of each blade on the arbor
	// Pockets from the fence outwards: first, on a straight near edge, the one
	// between the edge and the first blade, then those between neighbours.
	Pockets []Pocket

	// What plans are compared by, in this order: greatest Worth, least
	// Deviation, greatest StripArea, fewest BladesInWood, least Travel.
	Worth        unit.Worth
	Deviation    unit.Length // sum of |w - W| over fixed-width strips
	StripArea    unit.Area   // sum of real width x counted length
	BladesInWood int
	Travel       unit.Length // of fence and moving blades from where they stand

	Account Account
}

// Pocket is what lies between two neighbouring bounds.
type Pocket struct {
	// LeftBlade is the index of the blade on the fence side, or FenceSide;
	// RightBlade the one on the other.
	LeftBlade, RightBlade int
	// Left and Right are the bounds in the board's frame (y).
	Left, Right unit.Length
	// Item is the index of the item sawn here, or None.
	Item int
	// Runs are the counted runs of a strip, Counted their sum.
	Runs    []wood.Stretch
	Counted unit.Run
	// Pieces that a crosscut item's runs are cut to, in order of x.
	Pieces []Piece
	Worth  unit.Worth
	// Amount counts towards the item's requirement, in the unit of its Measure
	// (areas in unit.Area).
	Amount int64
}

// AmountBy is what the strip counts by another way of counting than its item's.
func (p *Pocket) AmountBy(c order.Counting) int64 {
	var pieces int64
	for _, r := range p.Runs {
		pieces = c.Pieces(pieces, r.Length())
	}
	return c.Amount(p.Width(), int64(p.Counted), pieces)
}

// Piece is one crosscut piece of a strip: Cut indexes the item's Cuts, From and
// To are its ends along the board.
type Piece struct {
	Cut      int
	From, To unit.Length
}

// pieceArea is the area of the crosscut pieces, rounded down piece by piece.
func (p *Pocket) pieceArea() (a unit.Area) {
	for _, c := range p.Pieces {
		a += unit.Area(int64(p.Width()) * int64((c.To - c.From).Floor()))
	}
	return a
}

// Width of the pocket; not positive if the fence has passed the blade.
func (p *Pocket) Width() unit.Length { return p.Right - p.Left }

// Account says where the wood of a board went. The five parts add up to Face
// exactly.
type Account struct {
	Face    unit.Area // the scanned wood
	Strip   unit.Area // real width x counted runs
	EndTrim unit.Area // other wood in a pocket with an item
	Offcut  unit.Area // wood in a pocket without one, between two blades in the wood
	Edging  unit.Area // the rest: outside the outermost blades
	Kerf    unit.Area // wood under any blade

	// CrosscutLoss is the part of Strip that crosscutting loses: strips of items
	// with lengths less their pieces.
	CrosscutLoss unit.Area

	// Rerip is the part of edging and offcut worth feeding again, in whole
	// clear bands, and its worth, which the plan's worth includes.
	Rerip      unit.Area
	ReripWorth unit.Worth
}

// Yield is strip face over board face.
func (a *Account) Yield() float64 { return float64(a.Strip) / float64(a.Face) }
