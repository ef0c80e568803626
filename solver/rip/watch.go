package rip

import "github.com/ripwright/ripwright/solver/internal/search/budget"

// Part is a part of a search that has ended, as reported to Options.Watch.
type Part struct {
	Kind PartKind
	// Work is how many steps it took.
	Work int64
	// Best is the worth of the best plan known at its end, 0 if none is worth anything.
	Best worth
	// Bound is at least the worth of any plan, by this part alone, if Bounded. The bound
	// of intervals is that of one skew.
	Bound   worth
	Bounded bool
}

// PartKind names a part of a search.
type PartKind int8

// The parts. Start heuristics run within those that search.
const (
	// Preparation measures the board for every item.
	Preparation PartKind = iota
	// Tables searches by tables over heights.
	Tables
	// Intervals searches by intervals of fence stops.
	Intervals
)

// watcher reports parts, each from where the last one ended.
type watcher struct {
	tell func(Part)
	b    *budget.Budget
	told int64 // steps
}

func (o *Options) watcher(b *budget.Budget) watcher { return watcher{tell: o.Watch, b: b} }

func (w *watcher) part(k PartKind, best worth, bound worth, bounded bool) {
	if w.tell == nil {
		return
	}
	w.tell(Part{Kind: k, Work: w.b.Work() - w.told, Best: best, Bound: bound, Bounded: bounded})
	w.told = w.b.Work()
}
