package values

import (
	"slices"

	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Reason is why no board gives anything of a row.
type Reason int

// The reasons.
const (
	ByBoards Reason = iota // crook, defects, or limits of the saw
	TooWide                // wider than every board less its trim
	TooLong                // longer than every board
	TooShort               // every board is longer than the item's greatest length
	BySaw                  // no pocket of the saw can be that wide
	Unknown                // there was no time to find out
)

// Why says why a row is impossible.
func (pl *Planner) Why(row int, o *Options) Reason {
	r := &pl.Demand.Rows[row]
	it := &pl.p.Items[r.Item]
	need := max(it.LeastLength, it.PieceLength)
	if r.Cut != demand.Whole {
		need = max(need, it.Cuts[r.Cut].Length+2*it.EndTrim)
	}
	narrowest := it.Min
	if !it.Random {
		narrowest -= pl.off(it)
	}
	var widest, longest unit.Length
	shortest := wood.MaxLength
	for g := range pl.p.Lots {
		for _, k := range pl.p.Lots[g].Kinds {
			trim := 2 * pl.saw(g).Trim
			if k.Board.StraightNear {
				trim = pl.saw(g).Trim
			}
			widest = max(widest, k.Board.GreatestWidth()-trim)
			longest, shortest = max(longest, k.Board.Length), min(shortest, k.Board.Length)
		}
	}
	switch {
	case narrowest > widest:
		return TooWide
	case need > longest:
		return TooLong
	case it.GreatestLength > 0 && it.GreatestLength < shortest:
		return TooShort
	case o.stopped():
		return Unknown
	}
	some := slices.ContainsFunc(pl.saws(), func(s *saw.Saw) bool { return pl.ideal(s, row, widest+2*s.Trim, longest, o) })
	switch {
	case o.stopped():
		return Unknown
	case !some:
		return BySaw
	}
	return ByBoards
}

// ideal reports whether a square and faultless board, free of the saw's limits on boards,
// gives anything of a row.
func (pl *Planner) ideal(s *saw.Saw, row int, width, length unit.Length, o *Options) bool {
	values := make([]int64, len(pl.Demand.Rows))
	values[row] = 1_000_000
	items, _ := pl.Demand.Priced(values, nil)
	if most := items[0].GreatestLength; most > 0 {
		length = min(length, most)
	}
	q := rip.Problem{Saw: *s, Items: items,
		Board: wood.Board{Length: length, Stations: []wood.Station{{Far: min(width, wood.MaxAcross)}}}}
	q.Saw.Limits, q.Saw.Rerip.Width = saw.Limits{}, 0
	r, err := demand.Solve(&q, rip.Options{Work: idealWork, Memory: o.Memory, Stop: o.Stop})
	return err != nil || !r.Bound.IsZero()
}

// idealWork is ample for one item.
const idealWork = 5_000_000
