package lumber

import (
	"fmt"
	"math"
	"math/rand/v2"
	"unicode/utf8"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// DefectRate is the frequency and size of one kind of defect: a Poisson process on the
// face, with lengths and widths each uniform between two limits.
type DefectRate struct {
	Kind string
	// PerArea is the mean number per square metre of face.
	PerArea                 float64
	LeastLength, MostLength unit.Length // along the board
	LeastWidth, MostWidth   unit.Length // across it
}

// Limits of the defects of a spread's boards. A board has no more than MaxDrawn, and at
// rates that give MeanDrawn or fewer on average that hardly ever removes one: of a
// Poisson distribution with a mean of 20 less than one board in 20,000 has more than 40.
const (
	MaxRates  = 16
	MaxPerM2  = 100
	MaxDrawn  = 40
	MeanDrawn = 20
)

func (s Spread) defectFaults() fault.List {
	var l fault.List
	if n := len(s.Defects); n > MaxRates {
		l.Because(fault.WrongCount, "spread.defects", "has %d entries; at most %d are taken", n, MaxRates)
		return l
	}
	rate := 0.0
	for i := range s.Defects {
		d, path := &s.Defects[i], fmt.Sprintf("spread.defects[%d]", i)
		if n := utf8.RuneCountInString(d.Kind); n == 0 || n > wood.MaxKind {
			l.Because(fault.OutOfRange, path+".kind", "must be 1 to %d characters, such as knot or split", wood.MaxKind)
		}
		if !(d.PerArea >= 0 && d.PerArea <= MaxPerM2) {
			l.Because(fault.OutOfRange, path+".per_m2", "is %g; must be 0 to %d", d.PerArea, MaxPerM2)
			continue
		}
		rate += d.PerArea
		size := func(least, greatest string, lo, hi, most unit.Length) {
			if lo <= 0 || lo > most {
				l.Because(fault.OutOfRange, path+"."+least, "is %g; must be above 0 and at most %g", lo.MM(), most.MM())
			} else if hi < lo || hi > most {
				l.Because(fault.OutOfRange, path+"."+greatest, "is %g; must be %g to %g", hi.MM(), lo.MM(), most.MM())
			}
		}
		size("min_length_mm", "max_length_mm", d.LeastLength, d.MostLength, wood.MaxLength)
		size("min_width_mm", "max_width_mm", d.LeastWidth, d.MostWidth, MaxWidth)
	}
	if face := s.Mean.MM() / 1000 * s.Longest().MM() / 1000; len(l) == 0 && rate*face > MeanDrawn {
		l.Add("spread.defects", "come to %.1f on a board of the mean width and the greatest length; must be at most %d", rate*face, MeanDrawn)
	}
	return l
}

// defects draws the defects of a board of the given width at mid-length, bowed by crook.
func (s Spread) defects(r *rand.Rand, b *wood.Board, width, crook unit.Length) {
	for i := range s.Defects {
		d := &s.Defects[i]
		for range poisson(r, d.PerArea*b.Face().SquareMetres()) {
			if len(b.Defects) == MaxDrawn {
				return
			}
			long := d.LeastLength + share(d.MostLength-d.LeastLength, r.Float64())
			wide := d.LeastWidth + share(d.MostWidth-d.LeastWidth, r.Float64())
			// Its middle is anywhere on the board; whatever lies beyond the ends is cut off.
			t := r.Float64()
			x, y := share(b.Length, t), share(crook, 4*t*(1-t))+share(width, r.Float64())
			at := wood.Defect{FromX: max(x-long/2, 0), ToX: min(x+long/2, b.Length), FromY: y - wide/2, ToY: y + wide/2, Kind: d.Kind}
			if at.ToX > at.FromX && at.ToY > at.FromY {
				b.Defects = append(b.Defects, at)
			}
		}
	}
}

// poisson draws a number with the given mean by multiplication (Knuth, The Art of
// Computer Programming 2, 3.4.1), limited to the room for defects on a board.
func poisson(r *rand.Rand, mean float64) int {
	end, n := math.Exp(-mean), 0
	for p := r.Float64(); p > end && n < MaxDrawn; n++ {
		p *= r.Float64()
	}
	return n
}
