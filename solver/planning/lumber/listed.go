package lumber

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Listed is boards listed one by one. Draws take each in proportion to its count.
type Listed []Kind

// Faults implements Source.
func (s Listed) Faults() fault.List {
	var l fault.List
	switch n := len(s); {
	case n == 0:
		l.Because(fault.Missing, "listed", "has no boards")
	case n > MaxKinds:
		l.Because(fault.WrongCount, "listed", "has %d entries; at most %d are taken", n, MaxKinds)
		return l
	}
	for i := range s {
		path := fmt.Sprintf("listed.boards[%d]", i)
		if s[i].Count < 1 || s[i].Count > MaxCount {
			l.Because(fault.OutOfRange, path+".count", "is %d; must be 1 to %d", s[i].Count, MaxCount)
		}
		l.Within(path+".board", s[i].Board.Faults())
	}
	return l
}

// Longest implements Source.
func (s Listed) Longest() (most unit.Length) {
	for i := range s {
		most = max(most, s[i].Board.Length)
	}
	return most
}

// Kinds implements Source.
func (s Listed) Kinds() ([]Kind, bool) { return s, true }

// Draw implements Source.
func (s Listed) Draw(r *rand.Rand) wood.Board {
	return s[one(r, len(s), func(i int) int64 { return s[i].Count })].Board
}

// Drawer implements Source.
func (s Listed) Drawer() func(r *rand.Rand) wood.Board {
	draw := oneOf(len(s), func(i int) int64 { return s[i].Count })
	return func(r *rand.Rand) wood.Board { return s[draw(r)].Board }
}

// oneOf draws like one, from cumulative sums computed once.
func oneOf(n int, count func(i int) int64) func(r *rand.Rand) int {
	sums, total := make([]int64, n), int64(0)
	for i := range sums {
		total += count(i)
		sums[i] = total
	}
	return func(r *rand.Rand) int {
		at, _ := slices.BinarySearch(sums, r.Int64N(total)+1) // the first sum above the number drawn
		return at
	}
}

// one draws an index below n, each in proportion to its count.
func one(r *rand.Rand, n int, count func(i int) int64) int {
	total := int64(0)
	for i := range n {
		total += count(i)
	}
	at, i := r.Int64N(total), 0
	for at -= count(0); at >= 0; at -= count(i) {
		i++
	}
	return i
}

// Tagged is boards as counted on a pack tag: a number of boards for each width and
// length.
type Tagged struct {
	Thickness unit.Length // 0: not stated
	Rows      []TagRow
}

// TagRow is one line of a tag. Its boards are taken as straight and square; trim is taken
// off both edges, as for any board.
type TagRow struct {
	Width, Length unit.Length
	Count         int64
}

// sound reports whether it has no faults.
func (r *TagRow) sound() bool {
	return r.Width > 0 && r.Width <= wood.MaxAcross && r.Length > 0 && r.Length <= wood.MaxLength && r.Count >= 1 && r.Count <= MaxCount
}

// Faults implements Source.
func (t Tagged) Faults() fault.List {
	var l fault.List
	switch n := len(t.Rows); {
	case n == 0:
		l.Because(fault.Missing, "tagged.rows", "is empty; a tag has at least one row")
	case n > MaxKinds:
		l.Because(fault.WrongCount, "tagged.rows", "has %d entries; at most %d are taken", n, MaxKinds)
		return l
	}
	if t.Thickness < 0 || t.Thickness > wood.MaxAcross {
		l.Because(fault.OutOfRange, "tagged.thickness_mm", "is %g; must be 0 (not said) to %g", t.Thickness.MM(), wood.MaxAcross.MM())
	}
	for i, row := range t.Rows {
		if row.sound() {
			continue
		}
		path := fmt.Sprintf("tagged.rows[%d]", i)
		if row.Width <= 0 || row.Width > wood.MaxAcross {
			l.Because(fault.OutOfRange, path+".width_mm", "is %g; must be above 0 and at most %g", row.Width.MM(), wood.MaxAcross.MM())
		}
		if row.Length <= 0 || row.Length > wood.MaxLength {
			l.Because(fault.OutOfRange, path+".length_mm", "is %g; must be above 0 and at most %g", row.Length.MM(), wood.MaxLength.MM())
		}
		if row.Count < 1 || row.Count > MaxCount {
			l.Because(fault.OutOfRange, path+".count", "is %d; must be 1 to %d", row.Count, MaxCount)
		}
	}
	return l
}

func (t Tagged) listed() Listed {
	s := make(Listed, len(t.Rows))
	for i, row := range t.Rows {
		s[i] = Kind{t.board(row), row.Count}
	}
	return s
}

func (t Tagged) board(row TagRow) wood.Board {
	return wood.Board{Length: row.Length, Thickness: t.Thickness, Stations: []wood.Station{{Far: row.Width}}}
}

// Longest implements Source.
func (t Tagged) Longest() (most unit.Length) {
	for _, row := range t.Rows {
		most = max(most, row.Length)
	}
	return most
}

// Kinds implements Source.
func (t Tagged) Kinds() ([]Kind, bool) { return t.listed(), true }

// Draw implements Source.
func (t Tagged) Draw(r *rand.Rand) wood.Board {
	return t.board(t.Rows[one(r, len(t.Rows), func(i int) int64 { return t.Rows[i].Count })])
}

// Drawer implements Source.
func (t Tagged) Drawer() func(r *rand.Rand) wood.Board {
	draw := oneOf(len(t.Rows), func(i int) int64 { return t.Rows[i].Count })
	return func(r *rand.Rand) wood.Board { return t.board(t.Rows[draw(r)]) }
}
