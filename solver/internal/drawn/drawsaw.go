package drawn

import (
	"math"
	"time"

	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

func unitSeconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func (d *dice) saw() {
	s := &d.p.Saw
	s.Step = []unit.Length{mm, mm * 5 / 2, 4 * mm, 5 * mm, 8 * mm, 10 * mm}[d.IntN(6)]
	switch {
	case d.has(NoKerf, 0.1):
	case d.has(KerfOff, 0.5):
		for s.Kerf%s.Step == 0 {
			s.Kerf = d.length(mm/2, 5*mm)
		}
	default:
		s.Kerf = s.Step
		for s.Kerf < 3*mm && d.IntN(2) == 0 {
			s.Kerf += s.Step
		}
	}
	s.LeastStrip = d.length(2*mm, 8*mm)
	s.Gap = s.LeastStrip
	if d.has(WideGap, 0.5) {
		s.Gap += 1 + d.length(0, 6*mm)
	}
	if d.has(Trim, 0.5) {
		s.Trim = max(d.length(0, 3*mm), unit.Micrometre)
	}
	if d.has(Rerip, 0.2) {
		s.Rerip = saw.Rerip{Width: d.length(3*mm, 25*mm), Value: d.Int64N(8) * 100_000}
		if d.want.Has(Rerip) {
			s.Rerip.Value += 50_000
		}
	}
	settings := 1
	if d.has(Skew, 0.15) {
		s.Skew = s.Step*unit.Length(1+d.IntN(2)) + unit.Length(d.IntN(2))*s.Step/3
		settings = 1 + 2*int(s.Skew/s.Step)
	}
	s.Fence = saw.Travel{}
	fence := []int{2, 1, 3 + d.IntN(4+d.IntN(20))}[d.one(FenceTwo, FenceOne, FenceMany)]
	settings *= fence
	// An approximate number of settings: mostly few, sometimes some thousand.
	most := 30 * math.Exp(d.Float64()*d.Float64()*5)
	d.blades(most / float64(settings))
	d.fence(fence)
}

// blades draws the blades, with roughly at most a number of settings.
func (d *dice) blades(settings float64) {
	s := &d.p.Saw
	n := []int{3, 2, 4, 1}[d.one(ThreeBlades, TwoBlades, FourBlades, OneBlade)]
	if d.busy && n == 3 && !d.want.Has(ThreeBlades) && Excluded(d.want|Of(FourBlades)) == "" {
		n = 4
	}
	if n == 4 && (d.busy || d.IntN(3) == 0) {
		n += d.IntN(4)
	}
	kinds := make([]Feature, n)
	for j := range kinds {
		kinds[j] = []Feature{Moving, Moving, Moving, FixedOn, FixedOff, Stuck}[d.IntN(6)]
		if n < 3 && d.want&Of(FixedOn, FixedOff, Moving, Stuck) != 0 {
			kinds[j] = Moving
		}
	}
	free := d.Perm(n)
	for _, f := range []Feature{FixedOn, FixedOff, Stuck, Moving} {
		if d.want.Has(f) && len(free) > 0 {
			kinds[free[0]], free = f, free[1:]
		}
	}
	moving := 0
	for _, k := range kinds {
		if k == Moving {
			moving++
		}
	}
	most := 6
	if moving > 0 {
		most = max(2, min(40, int(math.Pow(settings, 1/float64(moving)))))
	}
	nearest := n
	if d.has(CloseNow, 0.15) && n > 1 {
		nearest = 1 + d.IntN(n-1)
	}
	at, pitch := d.steps(unit.Length(d.Int64N(400))*mm-100*mm), d.length(0, 25*mm)
	for j, k := range kinds {
		if j > 0 {
			at += s.Kerf + s.Gap
			switch {
			case j == nearest:
			case d.IntN(3) > 0:
				at += pitch
			default:
				at += d.length(0, 30*mm)
			}
		}
		s.Blades = append(s.Blades, d.blade(k, &at, 2+d.IntN(most-1)))
		d.at = append(d.at, at)
	}
	if nearest < n { // one of the two stands as near to the other as it can
		before, b := &s.Blades[nearest-1], &s.Blades[nearest]
		if before.Moving {
			before.Travel.Max += s.Step
			before.Travel.Current = before.Travel.Max
		}
		if b.Moving {
			b.Travel.Min -= s.Step
			b.Travel.Current = b.Travel.Min
		}
	}
}

// blade draws a blade of a kind that stands at *at or a little beyond.
func (d *dice) blade(kind Feature, at *unit.Length, stops int) saw.Blade {
	s := &d.p.Saw
	up := s.StepUp(*at)
	switch kind {
	case FixedOn:
		*at = up
		return saw.Blade{At: up}
	case FixedOff:
		if *at%s.Step == 0 {
			*at += max(1, d.length(unit.Micrometre, s.Step-1))
		}
		return saw.Blade{At: *at}
	case Stuck:
		stops = 1
	default: // it moves
	}
	*at = up
	return saw.Blade{Moving: true, Travel: d.travel(up-unit.Length(d.IntN(stops))*s.Step, stops)}
}

// travel draws a travel with a number of stops, from a given one.
func (d *dice) travel(from unit.Length, stops int) (t saw.Travel) {
	step := d.p.Saw.Step
	to := from + unit.Length(stops-1)*step
	t.Min, t.Max = from, to
	off := d.has(CurrentOff, 0.3)
	if off || d.IntN(3) == 0 {
		t.Min -= d.length(0, step-1)
		t.Max += d.length(0, step-1)
	}
	t.Current = from + unit.Length(d.IntN(stops))*step
	if off {
		t.Current = t.Min + unit.Length(d.Int64N(int64(t.Max-t.Min)+1))
	}
	return t
}

// fence draws the fence's travel so that the first blade stands near the board's near
// edge.
func (d *dice) fence(stops int) {
	near := unit.Length(0)
	switch {
	case d.has(BelowFence, 0.15):
		near = -d.length(mm, 30*mm) - 1
	case d.has(Raised, 0.15):
		near = d.length(mm, 20*mm)
	}
	d.p.Board.Stations = append(d.p.Board.Stations[:0], station(0, near, near))
	first := d.length(0, 18*mm) - 6*mm
	if d.want.Has(Straight) && len(d.at) == 1 {
		first = d.p.Saw.LeastStrip + d.length(0, 30*mm)
	}
	at := d.steps(d.at[0] - near - first)
	d.p.Saw.Fence = d.travel(at-unit.Length(d.IntN(stops))*d.p.Saw.Step, stops)
}
