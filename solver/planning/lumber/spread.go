package lumber

import (
	"fmt"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Spread is boards of random width, normal and truncated at both ends, with lengths by
// share, and with crook and taper uniform from zero to a maximum.
type Spread struct {
	Mean, Deviation unit.Length // of the width at mid-length
	Least, Greatest unit.Length // widths outside are redrawn
	Lengths         []LengthShare
	Crook           unit.Length // the most that an edge bows over the whole length
	Taper           unit.Length // the most that the width decreases from end to end
	Thickness       unit.Length // 0: not stated
	StraightNear    bool        // boards come with a straight near edge
	Defects         []DefectRate
}

// LengthShare is a length and its relative frequency.
type LengthShare struct {
	Length unit.Length
	Share  int64
}

// grid is what drawn widths and edges are rounded to.
const grid = 10 * unit.Micrometre

// Faults implements Source.
func (s Spread) Faults() fault.List {
	var l fault.List
	at := func(field string, v, lo, hi unit.Length) {
		if v < lo || v > hi {
			l.Because(fault.OutOfRange, "spread."+field, "is %g; must be %g to %g", v.MM(), lo.MM(), hi.MM())
		}
	}
	at("min_width_mm", s.Least, unit.Millimetre, MaxWidth)
	at("max_width_mm", s.Greatest, max(s.Least, unit.Millimetre), MaxWidth)
	if s.Greatest >= s.Least { // otherwise there is no width between them to report
		at("mean_width_mm", s.Mean, s.Least, s.Greatest)
	}
	at("width_sd_mm", s.Deviation, 0, MaxWidth)
	at("crook_mm", s.Crook, 0, MaxCrook)
	at("taper_mm", s.Taper, 0, max(s.Least, 0))
	at("thickness_mm", s.Thickness, 0, wood.MaxAcross)
	if s.StraightNear && s.Crook != 0 {
		l.Add("spread.crook_mm", "is %g; must be 0 where the near edge is straight", s.Crook.MM())
	}
	l = append(l, s.defectFaults()...)
	if n := len(s.Lengths); n == 0 || n > MaxKinds {
		l.Because(fault.WrongCount, "spread.lengths", "has %d entries; 1 to %d are taken", n, MaxKinds)
		return l
	}
	for i, e := range s.Lengths {
		if e.Length > 0 && e.Length <= wood.MaxLength && e.Share >= 1 && e.Share <= MaxCount {
			continue
		}
		path := fmt.Sprintf("spread.lengths[%d]", i)
		if e.Length <= 0 || e.Length > wood.MaxLength {
			l.Because(fault.OutOfRange, path+".length_mm", "is %g; must be above 0 and at most %g", e.Length.MM(), wood.MaxLength.MM())
		}
		if e.Share < 1 || e.Share > MaxCount {
			l.Because(fault.OutOfRange, path+".share", "is %d; must be 1 to %d", e.Share, MaxCount)
		}
	}
	return l
}

// Longest implements Source.
func (s Spread) Longest() (most unit.Length) {
	for _, l := range s.Lengths {
		most = max(most, l.Length)
	}
	return most
}

// Kinds implements Source.
func (s Spread) Kinds() ([]Kind, bool) { return nil, false }

// Draw implements Source.
func (s Spread) Draw(r *rand.Rand) wood.Board { return s.draw(r, s.length(r)) }

// Drawer implements Source.
func (s Spread) Drawer() func(r *rand.Rand) wood.Board {
	length := oneOf(len(s.Lengths), func(i int) int64 { return s.Lengths[i].Share })
	return func(r *rand.Rand) wood.Board { return s.draw(r, s.Lengths[length(r)].Length) }
}

func (s Spread) draw(r *rand.Rand, length unit.Length) wood.Board {
	b := wood.Board{Length: length, Thickness: s.Thickness, StraightNear: s.StraightNear}
	width := s.width(r)
	crook := share(s.Crook, r.Float64())
	taper := share(s.Taper, r.Float64())
	if crook == 0 && taper == 0 {
		b.Stations = []wood.Station{{Far: width}}
		s.defects(r, &b, width, crook)
		return b
	}
	// The near edge bows away from the fence, which it touches at both ends.
	const stations = 9
	b.Stations = make([]wood.Station, 0, stations)
	for i := range stations {
		t := float64(i) / (stations - 1)
		near := share(crook, 4*t*(1-t))
		b.Stations = append(b.Stations, wood.Station{
			X: share(b.Length, t), Near: near, Far: near + width + taper/2 - share(taper, t),
		})
	}
	s.defects(r, &b, width, crook)
	return b
}

func (s Spread) length(r *rand.Rand) unit.Length {
	return s.Lengths[one(r, len(s.Lengths), func(i int) int64 { return s.Lengths[i].Share })].Length
}

// mostDraws limits the draws for one width; after that the nearer limit is used.
const mostDraws = 100

func (s Spread) width(r *rand.Rand) unit.Length {
	w := s.Mean
	for range mostDraws {
		w = s.Mean + share(s.Deviation, r.NormFloat64())
		if w >= s.Least && w <= s.Greatest {
			break
		}
	}
	return min(max(w, s.Least), s.Greatest)
}

// share is a fraction of l, on the grid.
func share(l unit.Length, part float64) unit.Length {
	return unit.Length(float64(l)*part/float64(grid)) * grid
}
