package drawn

import (
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

func station(x, near, far unit.Length) wood.Station { return wood.Station{X: x, Near: near, Far: far} }

// board draws a board about as wide as the blades stand apart.
func (d *dice) board() {
	b, s := &d.p.Board, &d.p.Saw
	near := b.Stations[0].Near
	b.Length = d.length(300*mm, 900*mm)
	if d.IntN(8) == 0 {
		b.Length = d.length(1800*mm, 2500*mm)
	}
	odd := d.has(Odd, 0.25)
	if odd {
		b.Length += unit.Length(d.Int64N(1000))
	}
	b.StraightNear = near == 0 && d.has(Straight, 0.25)
	fence := s.StepUp(s.Fence.Min)
	last := d.at[len(d.at)-1] - fence
	far := max(last+s.Kerf+d.length(0, 35*mm)-12*mm, near+10*mm)
	if n := len(d.at); n > 2 && d.IntN(6) == 0 { // the last blades stand off the wood
		far = max(d.at[1+d.IntN(n-2)]-fence+d.length(0, 8*mm)-2*mm, near+10*mm)
	}
	level := d.has(Clean, 0.15)
	widthOnly := near == 0 && !b.StraightNear && !level && d.has(WidthOnly, 0.15)
	nearUneven := !b.StraightNear && !level && !widthOnly && d.has(NearUneven, 0.6)
	farUneven := widthOnly || !level && (!nearUneven || d.has(FarUneven, 0.7))
	n := 2 + d.IntN(4)
	if level && d.IntN(2) == 0 {
		n = 1
	}
	most := []unit.Length{3 * mm, 8 * mm, 25 * mm, (far - near) * 2 / 3}
	rough, roughFar := most[d.IntN(3)], most[d.IntN(4)]
	b.Stations = b.Stations[:0]
	for _, x := range d.along(n) {
		st := station(x, near, far)
		if nearUneven {
			st.Near += d.length(0, rough)
		}
		if farUneven {
			st.Far = max(st.Far-d.length(0, roughFar), st.Near)
		}
		if odd && nearUneven {
			st.Near += unit.Length(d.Int64N(1000))
		}
		if odd && farUneven {
			st.Far = max(st.Far-unit.Length(d.Int64N(1000)), st.Near)
		}
		b.Stations = append(b.Stations, st)
	}
	if !level && n > 1 && d.has(NoWidth, 0.06) {
		st := &b.Stations[d.IntN(n)]
		if b.StraightNear || widthOnly || !nearUneven {
			st.Far = st.Near
		} else {
			st.Near = st.Far
		}
	}
	if d.has(Limits, 0.15) {
		s.Limits.MaxLength, s.Limits.MinWidth = b.Length, b.GreatestWidth()
		if d.IntN(2) == 0 {
			s.Limits.MinLength = b.Length
		}
	}
}

// along draws the places of stations.
func (d *dice) along(n int) []unit.Length {
	l := d.p.Board.Length
	xs := []unit.Length{0, l}
	if d.has(Held, 0.3) {
		switch d.IntN(3) {
		case 0:
			xs = nil
		case 1:
			xs = xs[:1]
		case 2:
			xs = xs[1:]
		}
	}
	xs = xs[:min(len(xs), n)]
	for len(xs) < n {
		if x := d.length(mm, l-mm); !slices.Contains(xs, x) {
			xs = append(xs, x)
		}
	}
	slices.Sort(xs)
	return xs
}

// defects draws rectangles on the board, mostly within a pocket.
func (d *dice) defects() {
	wanted := d.want&Of(Refused, Accepted, Parts) != 0
	if !wanted && d.IntN(5) < 3 {
		return
	}
	b := &d.p.Board
	for range 1 + d.IntN(3) {
		long := d.length(mm, b.Length/unit.Length(1+d.IntN(6)))
		from := d.length(0, b.Length-long)
		lo := b.Stations[0].Near + d.length(0, 60*mm)
		high := d.length(mm/10, 30*mm)
		if all := d.bands[d.IntN(len(d.bands))]; len(all) > 0 && d.IntN(4) > 0 {
			k := all[d.IntN(len(all))]
			lo, high = k.lo+d.length(0, 12*mm)-6*mm, d.length(mm/10, max(k.width(), mm))
		}
		b.Defects = append(b.Defects, wood.Defect{FromX: from, ToX: min(from+long, b.Length), FromY: lo, ToY: lo + high, Kind: kinds[d.IntN(len(kinds))]})
	}
}

var kinds = []string{"knot", "sound_knot", "stain"}

// settings draws a few settings and lists those of their pockets that are filled with
// wood over their whole width somewhere.
func (d *dice) settings() {
	s, b := &d.p.Saw, &d.p.Board
	for range 6 {
		var all []band
		f := s.StepUp(s.Fence.Min) + unit.Length(d.IntN(3))*s.Step
		f = min(f, s.StepDown(s.Fence.Max))
		before := unit.Length(-1 << 40)
		for j := range s.Blades {
			k := &s.Blades[j]
			a := k.At
			if k.Moving {
				lo, hi := s.StepUp(max(k.Travel.Min, before+s.Kerf+s.Gap)), s.StepDown(k.Travel.Max)
				a = lo
				if hi > lo {
					a += unit.Length(d.Int64N(int64((hi-lo)/s.Step)+1)) * s.Step
				}
			}
			lo := before + s.Kerf - f
			if b.StraightNear {
				lo = max(lo, 0)
			}
			if w := (band{lo, a - f}); (j > 0 || b.StraightNear) && w.width() >= s.LeastStrip && d.covers(w) {
				all = append(all, w)
			}
			before = a
		}
		d.bands = append(d.bands, all)
	}
}

func (d *dice) covers(w band) bool {
	for _, s := range d.p.Board.Stations {
		if s.Near+d.p.Saw.Trim <= w.lo && s.Far-d.p.Saw.Trim >= w.hi {
			return true
		}
	}
	return false
}
