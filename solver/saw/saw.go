// Package saw models a gang rip saw: an arbor with blades that stand fixed or
// move within a travel, and a moving fence.
//
// Positions on the saw run along the arbor from its datum. With the fence face
// at f, a point y of the board lies at f + y. A blade at position c takes away
// [c, c+kerf]; the pocket between blades at c and d is d - c - kerf wide.
package saw

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Travel is a range of positions on the arbor and the present one within it.
// Stops are whole multiples of the saw's step inside [Min, Max].
type Travel struct {
	Min, Max, Current unit.Length
	// Locked says that it was narrowed to a single stop for one board, which may differ
	// from Current.
	Locked bool
}

// Blade is one blade: fixed at At, or moving within Travel if Moving is set.
type Blade struct {
	Moving bool
	At     unit.Length
	Travel Travel
}

// Limits of the boards that the saw takes; 0 means no limit.
type Limits struct {
	MinLength, MaxLength       unit.Length
	MinWidth, MaxWidth         unit.Length
	MinThickness, MaxThickness unit.Length
}

// Rerip says which edgings and offcuts are worth feeding again: those whose part that is
// clear over the whole length is at least Width wide. Value is in millionths of money per
// square metre. Width 0: none.
type Rerip struct {
	Width unit.Length
	Value int64
}

// Saw is a saw as it is set up.
//
// Invariants, checked by Faults:
//  1. Kerf, Step and LeastStrip are above 0; Gap >= LeastStrip; Trim >= 0.
//  2. Every travel holds a stop, and its current position lies within it unless it is
//     locked.
//  3. The blades can all stand in their order with the gap between them.
//  4. Turns holds no turn twice, and not that of a board as scanned.
type Saw struct {
	Kerf  unit.Length
	Step  unit.Length // fence and moving blades stop at whole multiples of it
	Fence Travel
	// Blades in their order along the arbor.
	Blades []Blade
	// Gap is the smallest distance between neighbouring blades, face to face.
	Gap unit.Length
	// Trim is taken off each waney edge.
	Trim unit.Length
	// LeastStrip is the narrowest strip that may be sawn.
	LeastStrip unit.Length
	// Skew is the greatest angle at which the infeed can set a board, either way,
	// in nanometres per metre; it stops at whole multiples of the step per metre.
	// 0: none.
	Skew   unit.Length
	Limits Limits
	Rerip  Rerip
	// Turns are the ways in which boards can be turned before they are fed, each at most
	// once.
	Turns []Turning
}

// Turning is a way to turn boards, and its cost, in millionths of money.
type Turning struct {
	Turn wood.Turn
	Cost int64
}

// Bounds that keep the solver's integers from overflowing and its tables small.
const (
	MaxBlades   = published.MostEntriesOfSawBlades
	MaxPosition = published.MostTravelMinMm * unit.Millimetre
	MaxKerf     = published.MostSawKerfMm * unit.Millimetre
	MinStep     = published.LeastSawStepMm * 1_000_000 * unit.Nanometre // less than a millimetre
	MaxStep     = published.MostSawStepMm * unit.Millimetre
	MaxSkew     = published.MostSawMaxSkewMmPerM * unit.Millimetre // per metre
	MaxSkews    = 500                                              // stops either way
	MaxMoney    = int64(published.MostReripValuePerM2)
	MaxValue    = MaxMoney * 1_000_000 // in millionths
)

// Faults lists what breaks the invariants, by field.
func (s *Saw) Faults() fault.List {
	var l fault.List
	between := func(path string, v, lo, hi unit.Length) {
		if v < lo || v > hi {
			l.Because(fault.OutOfRange, path, "is %g; must be %g to %g", v.MM(), lo.MM(), hi.MM())
		}
	}
	// A kerf of 0 stands for a knife; the other quantities need a size.
	between("kerf_mm", s.Kerf, 0, MaxKerf)
	between("step_mm", s.Step, MinStep, MaxStep)
	between("edge_trim_mm", s.Trim, 0, MaxKerf)
	between("min_strip_width_mm", s.LeastStrip, 1, MaxPosition)
	if s.Gap < s.LeastStrip || s.Gap > MaxPosition {
		l.Add("min_gap_mm", "is %g; must be at least min_strip_width_mm, %g, and at most %g",
			s.Gap.MM(), s.LeastStrip.MM(), MaxPosition.MM())
	}
	if s.Rerip.Width < 0 || s.Rerip.Width > MaxPosition {
		l.Because(fault.OutOfRange, "rerip.min_width_mm", "is %g; must be 0 (off) to %g", s.Rerip.Width.MM(), MaxPosition.MM())
	}
	if s.Rerip.Value < 0 || s.Rerip.Value > MaxValue {
		l.Because(fault.OutOfRange, "rerip.value_per_m2", "must be 0 to %d", MaxMoney)
	}
	switch {
	case s.Skew < 0 || s.Skew > MaxSkew:
		l.Because(fault.OutOfRange, "max_skew_mm_per_m", "is %g; must be 0 (none) to %g, and no more than the infeed can set", s.Skew.MM(), MaxSkew.MM())
	case s.Step > 0 && s.Skew/s.Step > MaxSkews:
		l.Add("max_skew_mm_per_m", "is %g, which is more than %d steps of %g; give a lower limit or a coarser step",
			s.Skew.MM(), MaxSkews, s.Step.MM())
	}
	l.Within("limits", s.Limits.faults())
	l = append(l, s.turnFaults()...)
	switch n := len(s.Blades); {
	case n == 0:
		l.Because(fault.Missing, "blades", "is empty; a saw needs at least one blade")
	case n > MaxBlades:
		l.Because(fault.WrongCount, "blades", "has %d entries; at most %d are taken", n, MaxBlades)
		return l
	}
	if s.Step < MinStep {
		return l
	}
	l.Within("fence", s.travelFaults(s.Fence))
	for i, b := range s.Blades {
		if b.Moving {
			if part := s.travelFaults(b.Travel); len(part) > 0 {
				l.Within(fmt.Sprintf("blades[%d].moving", i), part)
			}
		} else if b.At < -MaxPosition || b.At > MaxPosition {
			l.Because(fault.OutOfRange, fmt.Sprintf("blades[%d].fixed_mm", i), "is %g; must be %g to %g", b.At.MM(), -MaxPosition.MM(), MaxPosition.MM())
		}
	}
	if len(l) == 0 {
		l = append(l, s.orderFaults()...)
	}
	return l
}

func (s *Saw) turnFaults() (l fault.List) {
	seen := make(map[wood.Turn]bool, len(s.Turns))
	for i, t := range s.Turns {
		path := fmt.Sprintf("turns[%d]", i)
		switch {
		case t.Turn == wood.AsScanned || int(t.Turn) >= wood.Turns:
			l.Because(fault.UnknownWord, path+".turn", "is not a turn")
		case seen[t.Turn]:
			l.Because(fault.Duplicate, path+".turn", "is named twice; name each turn at most once")
		}
		seen[t.Turn] = true
		if t.Cost < 0 || t.Cost > MaxValue {
			l.Because(fault.OutOfRange, path+".cost", "must be 0 to %d", MaxMoney)
		}
	}
	return l
}

// Turning gives the saw's turning for a turn, and whether it has one.
func (s *Saw) Turning(t wood.Turn) (Turning, bool) {
	for _, way := range s.Turns {
		if way.Turn == t {
			return way, true
		}
	}
	return Turning{Turn: t}, t == wood.AsScanned
}

func (s *Saw) travelFaults(t Travel) fault.List {
	var l fault.List
	if t.Min < -MaxPosition || t.Min > MaxPosition {
		l.Because(fault.OutOfRange, "min_mm", "is %g; must be %g to %g", t.Min.MM(), -MaxPosition.MM(), MaxPosition.MM())
	}
	if t.Max < -MaxPosition || t.Max > MaxPosition {
		l.Because(fault.OutOfRange, "max_mm", "is %g; must be %g to %g", t.Max.MM(), -MaxPosition.MM(), MaxPosition.MM())
	}
	switch {
	case t.Max < t.Min:
		l.Add("max_mm", "is %g, below min_mm %g", t.Max.MM(), t.Min.MM())
	case s.StepUp(t.Min) > s.StepDown(t.Max):
		l.Add("max_mm", "is %g: no whole multiple of step_mm %g lies between min_mm %g and it",
			t.Max.MM(), s.Step.MM(), t.Min.MM())
	case !t.Locked && (t.Current < t.Min || t.Current > t.Max):
		l.Add("current_mm", "is %g; must lie within the travel, %g to %g", t.Current.MM(), t.Min.MM(), t.Max.MM())
	}
	return l
}

// orderFaults sets every blade as close to the datum as the ones before it allow; if that
// fails, the saw has no setting.
func (s *Saw) orderFaults() fault.List {
	var l fault.List
	var before unit.Length
	for i, b := range s.Blades {
		low := b.At
		if b.Moving {
			low = s.StepUp(b.Travel.Min)
		}
		if i > 0 {
			least := before + s.Kerf + s.Gap
			switch {
			case !b.Moving && low < least:
				l.Add(fmt.Sprintf("blades[%d].fixed_mm", i),
					"is %g; the blade before it and the smallest gap leave no room below %g; blades go in their order along the arbor",
					low.MM(), least.MM())
				return l
			case b.Moving && s.StepUp(max(low, least)) > b.Travel.Max:
				l.Add(fmt.Sprintf("blades[%d].moving.max_mm", i),
					"is %g; the blade before it and the smallest gap leave no room below %g; blades go in their order along the arbor",
					b.Travel.Max.MM(), least.MM())
				return l
			case b.Moving:
				low = s.StepUp(max(low, least))
			}
		}
		before = low
	}
	return l
}

func (m Limits) faults() fault.List {
	var l fault.List
	pair := func(name string, lo, hi unit.Length) {
		if lo < 0 {
			l.Because(fault.OutOfRange, "min_"+name, "is %g; must be 0 (no limit) or more", lo.MM())
		}
		if hi < 0 {
			l.Because(fault.OutOfRange, "max_"+name, "is %g; must be 0 (no limit) or more", hi.MM())
		}
		if hi > 0 && hi < lo {
			l.Add("max_"+name, "is %g, below min_%s %g", hi.MM(), name, lo.MM())
		}
	}
	pair("length_mm", m.MinLength, m.MaxLength)
	pair("width_mm", m.MinWidth, m.MaxWidth)
	pair("thickness_mm", m.MinThickness, m.MaxThickness)
	return l
}

// StepUp gives the least stop at or above p.
func (s *Saw) StepUp(p unit.Length) unit.Length {
	return unit.Length(unit.CeilDiv(int64(p), int64(s.Step))) * s.Step
}

// StepDown gives the greatest stop at or below p.
func (s *Saw) StepDown(p unit.Length) unit.Length {
	return unit.Length(unit.FloorDiv(int64(p), int64(s.Step))) * s.Step
}
