// Package lumber models the boards that an order is to be cut from: lots that can be
// bought or taken, each with a price and a description of its boards.
//
// A lot's boards are listed one by one, counted on a pack tag, or described by a
// distribution. Samples are drawn with a seed, and the same seed gives the same sample on
// every machine.
package lumber

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Kind is a board and the number of boards like it, absolute or in proportion.
type Kind struct {
	Board wood.Board
	Count int64
}

// Source is where the boards of a lot come from.
type Source interface {
	// Faults lists what is wrong with it, by field.
	Faults() fault.List
	// Longest is the greatest length of its boards, if it has no faults.
	Longest() unit.Length
	// MeanFace is the mean face of its boards in m2.
	MeanFace() float64
	// Kinds gives the boards if it has a finite number of kinds.
	Kinds() ([]Kind, bool)
	// Draw gives the next board.
	Draw(r *rand.Rand) wood.Board
	// Drawer gives a function that draws like Draw, and is faster for many boards.
	Drawer() func(r *rand.Rand) wood.Board
}

// Lot is lumber of one kind: a grade, a pack, a stock size.
type Lot struct {
	ID string
	// Price is in millionths of money per board foot.
	Price int64
	From  Source
}

// Limits of lumber.
const (
	MaxLots   = published.MostEntriesOfLumberLots
	MaxKinds  = published.MostEntriesOfListedBoardsBoards
	MaxCount  = int64(published.MostCountedBoardCount)
	MaxSample = published.MostLumberSampleBoards
	// Of a spread.
	MaxWidth = published.MostBoardSpreadMeanWidthMm * unit.Millimetre
	MaxCrook = published.MostBoardSpreadCrookMm * unit.Millimetre
)

// Faults lists what is wrong with lots, by field.
func Faults(lots []Lot) fault.List {
	var l fault.List
	switch n := len(lots); {
	case n == 0:
		l.Because(fault.Missing, "lots", "is empty; give the lumber")
	case n > MaxLots:
		l.Because(fault.WrongCount, "lots", "has %d entries; at most %d are taken", n, MaxLots)
		return l
	}
	seen := map[string]int{}
	for i := range lots {
		path := fmt.Sprintf("lots[%d]", i)
		if j, twice := seen[lots[i].ID]; twice {
			l.Because(fault.Duplicate, path+".lot_id", "is %q, which lots[%d] has too; every lot needs an id of its own", lots[i].ID, j)
		}
		seen[lots[i].ID] = i
		if lots[i].Price < 0 || lots[i].Price > saw.MaxValue {
			l.Because(fault.OutOfRange, path+".price_per_mbf", "must be 0 to %d", saw.MaxMoney)
		}
		if lots[i].From == nil {
			l.Because(fault.Missing, path, "has no source; give its boards")
			continue
		}
		l.Within(path, lots[i].From.Faults())
	}
	return l
}

// Sample gives boards that represent the lot: all kinds if they are known and no more
// than n, otherwise n draws.
func (lot *Lot) Sample(n int, seed uint64) []Kind {
	if kinds, known := lot.From.Kinds(); known && len(kinds) <= n {
		return kinds
	}
	r, draw := Random(seed, 0), lot.From.Drawer()
	out := make([]Kind, n)
	for i := range out {
		out[i] = Kind{draw(r), 1}
	}
	return out
}

// First gives the first board of a sample.
func (lot *Lot) First(n int, seed uint64) *wood.Board {
	if kinds, known := lot.From.Kinds(); known && len(kinds) <= n {
		return &kinds[0].Board
	}
	b := lot.From.Drawer()(Random(seed, 0))
	return &b
}

// Longest is the greatest length of the boards of lots without faults.
func Longest(lots []Lot) (most unit.Length) {
	for i := range lots {
		most = max(most, lots[i].From.Longest())
	}
	return most
}

// Random gives the random numbers of one stream of a seed. Streams and seeds are
// independent of each other, however close their numbers.
func Random(seed, stream uint64) *rand.Rand {
	var key [32]byte
	binary.LittleEndian.PutUint64(key[:], seed)
	binary.LittleEndian.PutUint64(key[8:], stream)
	return rand.New(rand.NewChaCha8(key))
}

// BoardFeet is face times thickness, unrounded; without a thickness, one inch is used, as
// for board feet of thinner stock.
func BoardFeet(b *wood.Board) float64 {
	const cubicNanometres = 2359.737216e21 // 144 cubic inches
	t := b.Thickness
	if t == 0 {
		t = unit.Inch
	}
	return b.Face().SquareMetres() * 1e18 * float64(t) / cubicNanometres
}
