package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Faults lists what breaks the invariants. Check a run with it after reading it back.
func (r *Run) Faults() fault.List {
	var l fault.List
	for i := range r.Entries {
		e := &r.Entries[i]
		if i > 0 && r.Entries[i-1].compare(e.Key) >= 0 || e.Made < 0 || e.Made > order.MaxAmount ||
			e.Count < order.ByLength || e.Count > order.ByPieces || e.PieceLength < 0 || e.Joint < 0 ||
			!slices.IsSortedFunc(e.Cuts, compareCuts) || len(e.Cuts) > maxCuts || !e.Takes.bounded() || e.Since < 0 || e.Since > r.Sequence || !e.Free.bounded(r.Sequence) {
			l.Add(path("entries", i), "is out of order or out of bounds")
		}
	}
	if r.InFlight < 1 || r.InFlight > MaxInFlight || r.Waiting() > r.InFlight || len(r.Held)-r.Waiting() > r.InFlight || r.Forgotten < 0 || len(r.Entries) > MaxEntries {
		l.Add("held", "is more than can be under way")
	}
	if !r.Past.bounded(r.Sequence) {
		l.Add("past", "is out of bounds")
	}
	if c := r.Clock; c != nil && (c.At < 0 || c.At > MaxMoment || !c.Told && c.At != 0 || c.Stops && (r.Totals.Times == nil || r.Since != nil && r.Since.Times == nil)) {
		l.Add("clock", "is out of bounds")
	}
	for _, t := range r.sums() {
		if !t.Times.bounded(r.Clock) || !t.Bays.bounded() || len(t.Packs) > MaxPacks+1 {
			l.Add("totals", "are out of bounds")
		}
	}
	if !r.doubtsBounded() {
		l.Add("doubted", "is out of bounds")
	}
	if r.Drift != nil {
		l = append(l, r.Drift.Faults()...)
	}
	for i := range r.Held {
		h := &r.Held[i]
		if i > 0 && r.Held[i-1].Sequence >= h.Sequence || h.Sequence > r.Sequence || len(h.Ways) == 0 ||
			h.Face < 0 || h.Thickness < 0 || !h.Size.bounded() || h.Passed < 0 || h.Changes < 0 || h.Changing < 0 || !r.freeBounded(h) {
			l.Add(path("held", i), "is out of order or out of bounds")
		}
		for j := range h.Ways {
			l.Within(path("held", i), r.wayFaults(h, &h.Ways[j]))
		}
	}
	return l
}

func (t *Takes) bounded() bool {
	return t.Min >= 0 && t.Min <= t.Max && t.Max <= order.MaxWidth && t.Tolerance >= 0 && t.Tolerance <= order.MaxWidth &&
		t.Least >= 0 && t.Least <= order.MaxLength && t.CutKerf >= 0 && t.CutKerf <= saw.MaxKerf
}

// mostWide is more than the width across of any board at any skew.
const mostWide = 10_000 * unit.Millimetre

func (s *Size) bounded() bool {
	return s.Length >= 0 && s.Length <= order.MaxLength && s.Wide >= 0 && s.Wide <= mostWide && s.Kerf >= 0 && s.Kerf <= saw.MaxKerf
}

// mostBoard limits what one board can add to anything: no face is larger, in unit.Area,
// and no item counts more.
const mostBoard = 100 * int64(unit.SquareMetre)

func (r *Run) wayFaults(h *Held, w *Way) (l fault.List) {
	for i := range w.Strips {
		s := &w.Strips[i]
		if f := s.From; f.Pocket < 0 || f.Near < drift.Edge || f.Near >= saw.MaxBlades || f.Far < 0 || f.Far >= saw.MaxBlades {
			l.Add(path("strips", i), "is not of a pocket of the saw")
		}
		if s.Item == "" || r.find(h.key(s)) == nil || s.Amount < 0 || s.Amount > mostBoard ||
			s.Width < 0 || s.Width > order.MaxWidth || s.Length < 0 || s.Length > unit.Run(order.MaxLength/unit.Micrometre) {
			l.Add(path("strips", i), "is not one of the run's")
		}
	}
	if len(w.Blades) > saw.MaxBlades {
		l.Add("blades", "are more than a saw can have")
	}
	for _, b := range w.Blades {
		if b.Travel < 0 || b.Cut < 0 {
			l.Add("blades", "are out of bounds")
		}
	}
	p := w.Parts
	for _, a := range []unit.Area{p.Strip, p.EndTrim, p.Offcut, p.Edging, p.Kerf, p.Other} {
		if a < 0 || int64(a) > mostBoard {
			l.Add("parts", "are out of bounds")
		}
	}
	return l
}
