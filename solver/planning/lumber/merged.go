package lumber

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/wood"
)

// Merged gives boards with those that are alike as one kind, in the sequence in
// which each first comes: what is priced is then each kind once.
func Merged(boards []Kind) []Kind {
	at := make(map[string]int, len(boards))
	out := make([]Kind, 0, len(boards))
	for _, k := range boards {
		key := look(&k.Board)
		if i, had := at[key]; had {
			out[i].Count += k.Count
			continue
		}
		at[key] = len(out)
		out = append(out, k)
	}
	return out
}

// look tells boards apart that differ in anything.
func look(b *wood.Board) string {
	return fmt.Sprint(b.Length, b.Thickness, b.StraightNear, b.Stations, len(b.Defects), b.Defects)
}
