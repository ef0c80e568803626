package tally

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
)

// Limits on a call and its packs that keep every sum within its integers.
const (
	MaxPacks     = published.MostEntriesOfTallyPackRequestPacks
	MaxBoards    = published.MostEntriesOfPackBoards // entries of boards, or lines of a tally, in a pack
	MaxAll       = 50_000                            // entries of all packs together
	MaxPast      = published.MostEntriesOfTallyPackRequestPastPacks
	MaxPrice     = int64(published.MostPackPricePerMbf * 1_000_000) // millionths of money per thousand board feet
	MaxBoardFeet = int64(published.MostSupplierTallyBoardFeet * 1_000_000)
	MaxSurface   = published.MostSurfaceLineSurfaceFt2 // square feet of one piece
)

// faults lists what would overflow the sums. The paths are those of packs and boards; the
// caller, who knows the fields of the request, reports more.
func (t *Terms) faults(packs []Pack) fault.List {
	var l fault.List
	if t.Rule < 0 || int(t.Rule) >= rules {
		l.Because(fault.UnknownWord, "rule", "is %d; must be one of the rules", t.Rule)
	}
	if a := t.Allowance.Percent; a < 0 || a > MaxPercent {
		l.Because(fault.OutOfRange, "allowance", "is %g; must be 0 to %d per cent", float64(a)/1e6, MaxPercent/1_000_000)
	}
	for i, p := range t.Past {
		if p.Tallied == nil || p.Tallied.Sign() <= 0 || p.Measured == nil || p.Measured.Sign() < 0 {
			l.Because(fault.Missing, fmt.Sprintf("past_packs[%d]", i), "lacks a figure; what is tallied must be above 0")
		}
	}
	for i := range packs {
		l.Within(fmt.Sprintf("packs[%d]", i), packs[i].Faults())
	}
	return l
}

// Faults lists what is wrong with a pack.
func (p *Pack) Faults() fault.List {
	var l fault.List
	if p.Thickness <= 0 || p.Thickness > MaxThickness {
		l.Add("nominal_thickness", "is %g mm; must be above 0 and at most %g", p.Thickness.MM(), MaxThickness.MM())
	}
	if p.Price < 0 || p.Price > MaxPrice {
		l.Because(fault.OutOfRange, "price", "is %d; must be 0 to %d", p.Price, MaxPrice)
	}
	boards(&l, "boards", p.Boards)
	for i, r := range p.Runs {
		if r.Boards < 0 || r.Boards > MaxPieces || r.Face < 0 || r.Length < 0 {
			l.Add(fmt.Sprintf("runs[%d]", i), "has a negative amount or too many boards")
		}
	}
	if t := p.Tally; t != nil {
		if t.BoardFeet < 0 || t.BoardFeet > MaxBoardFeet {
			l.Because(fault.OutOfRange, "tally.board_feet", "is %d; must be 0 to %d millionths", t.BoardFeet, MaxBoardFeet)
		}
		boards(&l, "tally.counts", t.Counts)
		var n int64
		for i, s := range t.Surfaces {
			if s.Pieces < 1 || s.Pieces > MaxPieces || s.SquareFeet < 0 || s.SquareFeet > MaxSurface {
				l.Because(fault.OutOfRange, fmt.Sprintf("tally.surfaces[%d]", i), "must be 1 to %d pieces of 0 to %d square feet", MaxPieces, MaxSurface)
				return l
			}
			n += s.Pieces
		}
		many(&l, "tally.surfaces", n)
	}
	return l
}

func boards(l *fault.List, path string, list []Board) {
	var n int64
	for i := range list {
		b := &list[i]
		at := func(field, format string, args ...any) {
			l.Add(fmt.Sprintf("%s[%d].%s", path, i, field), format, args...)
		}
		if b.Width < 0 || b.Width > MaxWidth || b.Width == 0 && b.face == nil {
			at("width", "is %g mm; must be above 0 and at most %g", b.Width.MM(), MaxWidth.MM())
		}
		if b.Length <= 0 || b.Length > MaxLength {
			at("length", "is %g mm; must be above 0 and at most %g", b.Length.MM(), MaxLength.MM())
		}
		if b.Thickness < 0 || b.Thickness > MaxThickness {
			at("thickness", "is %g mm; must be 0 (not measured) to %g", b.Thickness.MM(), MaxThickness.MM())
		}
		if b.Pieces < 1 || b.Pieces > MaxPieces {
			at("pieces", "is %d; must be 1 to %d", b.Pieces, MaxPieces)
			return
		}
		n += b.Pieces
	}
	many(l, path, n)
}

func many(l *fault.List, path string, pieces int64) {
	if pieces > MaxPieces {
		l.Add(path, "has %d pieces; at most %d are taken", pieces, MaxPieces)
	}
}
