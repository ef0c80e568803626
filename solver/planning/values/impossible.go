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
	return pl.gives(s, row, wood.Board{Length: length, Stations: []wood.Station{{Far: min(width, wood.MaxAcross)}}}, o)
}

// gives reports whether a board, no longer than the row takes and free of the saw's limits
// on boards, gives anything of the row. If that is not found out, it does.
func (pl *Planner) gives(s *saw.Saw, row int, b wood.Board, o *Options) bool {
	values := make([]int64, len(pl.Demand.Rows))
	values[row] = 1_000_000
	items, _ := pl.Demand.Priced(values, nil)
	if most := items[0].GreatestLength; most > 0 {
		b.Length = min(b.Length, most)
	}
	q := rip.Problem{Saw: *s, Items: items, Board: b}
	q.Saw.Limits, q.Saw.Rerip.Width = saw.Limits{}, 0
	r, err := demand.Solve(&q, rip.Options{Work: idealWork, Memory: o.Memory, Stop: o.Stop})
	return err != nil || !r.Bound.IsZero()
}

// idealWork is ample for one item.
const idealWork = 5_000_000

// split parts rows that may be possible from those that no board gives, since not even one
// that covers all boards wherever they lie gives them. It reports false if stopped.
func (pl *Planner) split(rows []int, o *Options) (may, never []int, whole bool) {
	b, ok := pl.covering()
	if !ok {
		return rows, nil, true
	}
	found := make([]bool, len(rows))
	o.each(len(rows), func(i int) {
		found[i] = o.stopped() || slices.ContainsFunc(pl.saws(), func(s *saw.Saw) bool { return pl.gives(s, rows[i], b, o) })
	})
	for i, k := range rows {
		if found[i] {
			may = append(may, k)
		} else {
			never = append(never, k)
		}
	}
	return may, never, !o.stopped()
}

// covering gives a board that covers every board, turned or not; false if there is none, as
// boards may lie askew or have a straight edge, at which a strip may begin.
func (pl *Planner) covering() (b wood.Board, ok bool) {
	at := wood.Station{Near: wood.MaxAcross, Far: -wood.MaxAcross}
	for g := range pl.p.Lots {
		if pl.saw(g).Skew > 0 {
			return b, false
		}
		for _, k := range pl.p.Lots[g].Kinds {
			if k.Board.StraightNear {
				return b, false
			}
			near, _, _, far := k.Board.Span()
			at.Near, at.Far = min(at.Near, near), max(at.Far, far)
			b.Length = max(b.Length, k.Board.Length)
		}
	}
	b.Stations = []wood.Station{at}
	return b, at.Near < at.Far
}
