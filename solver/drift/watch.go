package drift

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Settings of a watch.
type Settings struct {
	Shift unit.Length // the smallest that is reported, above 0
	// Scatter is the standard deviation of measured less planned widths while nothing
	// drifts; 0: it is estimated.
	Scatter unit.Length
}

// UsualShift is the default of Settings.Shift.
const UsualShift = 250 * unit.Micrometre

// Ranges is the number of moving ranges from which the scatter is estimated: their mean
// over 1.128, the d2 of pairs (NIST/SEMATECH e-Handbook, section 6.3.2.2, on individual
// measurements), over all pockets together, since one saw cuts and one gauge measures all
// of them. A mean that is off from the start does not enter it.
const Ranges = 100

// Watch is the state of the charts of a saw's pockets.
//
// Invariants, checked by Faults: charts are in rising order of their blades, each pocket
// once; no sum or count is below 0.
type Watch struct {
	Settings
	Changed string // the saw's words for when its blades were changed
	Range   unit.Length
	Over    int32 // how many ranges are summed in Range
	Charts  []Chart
}

// Strip is a measured strip.
type Strip struct {
	Near, Far         int // the blades; see Chart
	Planned, Measured unit.Length
}

// Turn is a pocket whose widths began to drift, or returned.
type Turn struct {
	Near, Far int
	Way       Way         // None: it returned
	By        unit.Length // how far; below 0: too narrow
	Strips    int32       // how many strips showed it
	// Blade is the one that must have moved, since the pocket beyond it has changed the
	// opposite way, or Edge if it is not known.
	Blade int
}

// Add counts a measured strip. ok reports a turn.
func (w *Watch) Add(s Strip) (t Turn, ok bool) {
	c := w.chart(s.Near, s.Far)
	e := s.Measured - s.Planned
	if c.Strips > 0 && w.Over < Ranges {
		w.Range += min(max(e-c.Last, c.Last-e), most)
		w.Over++
	}
	c.Last = min(max(e, -most), most)
	if c.Strips < 1<<30 {
		c.Strips++
	}
	u := w.Unit()
	if u == 0 {
		return t, false
	}
	r := standard(u)
	before := *c
	if !c.add(e, r) {
		return t, false
	}
	t = Turn{Near: s.Near, Far: s.Far, Way: c.Way, By: c.By, Strips: before.HighFor + 1, Blade: Edge}
	if c.Way == Narrow || before.Way == Narrow {
		t.Strips = before.LowFor + 1
	}
	if c.Way != None {
		t.Blade = w.moved(c, r)
	}
	return t, true
}

// most limits an error, so that no sum of errors overflows.
const most = 10 * unit.Foot

// Unit is the unit of the charts; 0: it is not known yet.
func (w *Watch) Unit() unit.Length {
	switch {
	case w.Scatter > 0:
		return max(w.Shift, w.Scatter)
	case w.Over < Ranges:
		return 0
	}
	return max(w.Shift, unit.Length(int64(w.Range)/int64(w.Over)*1000/1128))
}

// moved is the only blade of a pocket beyond which the next pocket leans the other way,
// if there is just one.
func (w *Watch) moved(c *Chart, r rule) int {
	blade := Edge
	for i := range w.Charts {
		d := &w.Charts[i]
		shared := Edge
		switch {
		case d.Far == c.Near:
			shared = d.Far
		case d.Near == c.Far:
			shared = d.Near
		}
		if shared == Edge || !d.leans(-c.Way, r) {
			continue
		}
		if blade != Edge {
			return Edge
		}
		blade = shared
	}
	return blade
}

func (w *Watch) chart(near, far int) *Chart {
	at := Chart{Near: near, Far: far}
	i, ok := slices.BinarySearchFunc(w.Charts, at, compare)
	if !ok {
		w.Charts = slices.Insert(w.Charts, i, at)
	}
	return &w.Charts[i]
}

func compare(a, b Chart) int { return cmp.Or(cmp.Compare(a.Near, b.Near), cmp.Compare(a.Far, b.Far)) }

// Anew restarts all charts, for other blades. The scatter stays, since it belongs to the
// gauge and the machine.
func (w *Watch) Anew(changed string) { w.Changed, w.Charts = changed, nil }

// Adrift lists the pockets that have drifted.
func (w *Watch) Adrift() (all []Chart) {
	for i := range w.Charts {
		if w.Charts[i].Way != None {
			all = append(all, w.Charts[i])
		}
	}
	return all
}

// mostCharts limits the pockets: those between neighbours, and those between a straight
// edge and any blade.
const mostCharts = 2 * saw.MaxBlades

// Faults lists what breaks the invariants.
func (w *Watch) Faults() (l fault.List) {
	if w.Shift < 0 || w.Scatter < 0 || w.Range < 0 || w.Over < 0 || w.Over > Ranges || w.Range > Ranges*most || len(w.Charts) > mostCharts {
		l.Add("drift", "is out of bounds")
	}
	for i := range w.Charts {
		c := &w.Charts[i]
		if i > 0 && compare(w.Charts[i-1], *c) >= 0 || c.Near < Edge || c.Far < 0 || c.Near >= saw.MaxBlades || c.Far >= saw.MaxBlades ||
			c.Way < Narrow || c.Way > Wide || c.Strips < 0 || c.HighFor < 0 || c.LowFor < 0 || c.High < 0 || c.Low < 0 ||
			c.High > sumOf || c.Low > sumOf || c.Last > most || c.Last < -most || c.By > most || c.By < -most {
			l.Add("drift", "has a chart out of order or out of bounds")
		}
	}
	return l
}

// sumOf limits a sum: no chart adds beyond its decision interval.
const sumOf = (Decision + Most) * most
