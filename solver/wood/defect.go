package wood

import (
	"cmp"
	"fmt"
	"slices"
	"unicode/utf8"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/unit"
)

// Defect is a rectangle of the face that is not clear, and its kind: knot, sound knot,
// split, wane, stain, pith and more, in the trade's words. An item lists the kinds that
// it accepts.
type Defect struct {
	FromX, ToX unit.Length
	FromY, ToY unit.Length
	Kind       string
}

// MaxDefects and MaxKind limit a board's defects and the characters of their kinds.
const (
	MaxDefects = published.MostEntriesOfBoardDefects
	MaxKind    = published.MostCharactersOfDefectKind
)

func (d *Defect) faults(board unit.Length) fault.List {
	var l fault.List
	along := func(path string, v unit.Length) {
		if v < 0 || board > 0 && v > board {
			l.Add(path, "is %g; must lie on the board, 0 to %g", v.MM(), board.MM())
		}
	}
	across := func(path string, v unit.Length) {
		if v < -MaxAcross || v > MaxAcross {
			l.Because(fault.OutOfRange, path, "is %g; must be %g to %g", v.MM(), -MaxAcross.MM(), MaxAcross.MM())
		}
	}
	along("from_x_mm", d.FromX)
	along("to_x_mm", d.ToX)
	across("from_y_mm", d.FromY)
	across("to_y_mm", d.ToY)
	if d.ToX <= d.FromX {
		l.Add("to_x_mm", "is %g, not beyond from_x_mm %g; a defect has a length", d.ToX.MM(), d.FromX.MM())
	}
	if d.ToY <= d.FromY {
		l.Add("to_y_mm", "is %g, not beyond from_y_mm %g; a defect has a width", d.ToY.MM(), d.FromY.MM())
	}
	if d.Kind == "" || utf8.RuneCountInString(d.Kind) > MaxKind {
		l.Because(fault.OutOfRange, "kind", "must be 1 to %d characters, such as knot, sound_knot, split, wane, stain or pith", MaxKind)
	}
	return l
}

func (b *Board) defectFaults() fault.List {
	var l fault.List
	if n := len(b.Defects); n > MaxDefects {
		l.Because(fault.WrongCount, "defects", "has %d entries; at most %d are taken", n, MaxDefects)
		return l
	}
	for i := range b.Defects {
		if wrong := b.Defects[i].faults(b.Length); len(wrong) > 0 {
			l.Within(fmt.Sprintf("defects[%d]", i), wrong)
		}
	}
	return l
}

// Gap is a defect as it affects runs: the stretch of x that it takes away, rounded
// outward to whole micrometres, from strips that reach into its height.
type Gap struct {
	From, To unit.Run
	Lo, Hi   unit.Length
}

// Gap gives the defect as it affects runs.
func (d *Defect) Gap() Gap {
	return Gap{d.FromX.Floor(), unit.Run(unit.CeilDiv(int64(d.ToX), int64(unit.Micrometre))), d.FromY, d.ToY}
}

// Gaps lists defects as gaps, in order of x.
func Gaps(defects []Defect) []Gap {
	all := make([]Gap, len(defects))
	for i := range defects {
		all[i] = defects[i].Gap()
	}
	slices.SortStableFunc(all, func(a, b Gap) int { return cmp.Compare(a.From, b.From) })
	return all
}

// Without appends to dst what is left of the runs after the gaps that reach into the open
// band (lo, hi). Runs and gaps are in order of x; parts without a length are left out.
func Without(dst, runs []Stretch, gaps []Gap, lo, hi unit.Length) []Stretch {
	those := make([]int16, len(gaps))
	for i := range those {
		those[i] = int16(i)
	}
	return WithoutThose(dst, runs, gaps, those, lo, hi)
}

// WithoutThose is Without for some of the gaps, by their indices, in rising order.
func WithoutThose(dst, runs []Stretch, gaps []Gap, those []int16, lo, hi unit.Length) []Stretch {
	first := 0
	for _, r := range runs {
		from := r.From
		for k := first; k < len(those) && from < r.To; k++ {
			g := &gaps[those[k]]
			if g.From >= r.To {
				break
			}
			if g.Lo >= hi || g.Hi <= lo || g.To <= from {
				if k == first {
					first++ // it does not affect the runs that follow
				}
				continue
			}
			if g.From > from {
				dst = append(dst, Stretch{from, g.From})
			}
			from = g.To
		}
		if from < r.To {
			dst = append(dst, Stretch{from, r.To})
		}
	}
	return dst
}
