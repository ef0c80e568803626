package lumber

import (
	"encoding/binary"
	"strconv"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Merged combines identical boards into one kind each, in the order in which they first
// come, so that each kind is priced once.
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

// look is a key that differs for boards that differ in anything.
func look(b *wood.Board) string {
	out := make([]byte, 0, 32+12*len(b.Stations)+32*len(b.Defects))
	put := func(v unit.Length) { out = binary.AppendVarint(out, int64(v)) }
	put(b.Length)
	put(b.Thickness)
	out = strconv.AppendBool(out, b.StraightNear)
	put(unit.Length(len(b.Stations)))
	for _, s := range b.Stations {
		put(s.X)
		put(s.Near)
		put(s.Far)
	}
	for i := range b.Defects {
		d := &b.Defects[i]
		put(d.FromX)
		put(d.ToX)
		put(d.FromY)
		put(d.ToY)
		put(unit.Length(len(d.Kind)))
		out = append(out, d.Kind...)
	}
	return string(out)
}
