package order

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Faults lists what is wrong with the items of an order by themselves and on a saw,
// whatever the boards. Paths start with items.
func Faults(items []Item, s *saw.Saw) fault.List {
	var l fault.List
	copies := 0 // of forced items; callers have none
	for i := range items {
		if !items[i].Bonus.IsZero() {
			copies++
		}
	}
	if len(items)-copies > MaxItems {
		l.Because(fault.WrongCount, "items", "has %d entries; at most %d are taken", len(items), MaxItems)
		return l
	}
	seen := make(map[string]int, len(items))
	for i := range items {
		it := &items[i]
		path := func() string { return fmt.Sprintf("items[%d]", i) }
		if part := it.Faults(); len(part) > 0 {
			l.Within(path(), part)
		}
		if it.ID == "" {
			l.Because(fault.Missing, path()+".item_id", "is empty; every item needs an id of its own")
		} else if j, twice := seen[it.ID]; twice {
			l.Because(fault.Duplicate, path()+".item_id", "is %q, which order.items[%d] has too; every item needs an id of its own", it.ID, j)
		} else {
			seen[it.ID] = i
		}
		most := s.Limits.MaxLength
		tooLong := func(field string, length unit.Length) {
			l.Add(path()+field, "is %g; the saw takes boards of at most %g, so none is that long", length.MM(), most.MM())
		}
		if most > 0 && it.PieceLength > most {
			tooLong(".piece_length_mm", it.PieceLength)
		}
		for k := range it.Cuts {
			if c := it.Cuts[k].Length; most > 0 && c > most {
				tooLong(fmt.Sprintf(".crosscut.lengths[%d].length_mm", k), c)
			}
		}
		if it.Min > 0 && it.Min < s.LeastStrip {
			field := ".width_mm"
			if it.Random {
				field = ".range.min_mm"
			}
			l.Add(path()+field, "is %g, narrower than saw.min_strip_width_mm %g; saws throw back narrow pieces",
				it.Min.MM(), s.LeastStrip.MM())
		}
	}
	return l
}
