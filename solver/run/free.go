package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Free is the state of an item in the books without a limit of bays: a second set of
// books, in which each board that was cut counts by the plan that would have been its
// best without the limit. Other boards, those of other orders and earlier ones, count as
// in the run's own books.
type Free struct {
	Since int32 // boards of the order from this message on count by their free plan
	Made  int64
	Cuts  []CutMade `json:",omitempty"`
}

// FreePlan is what a board would have yielded in the books without a limit.
type FreePlan struct {
	// Filled says that in these books the order was filled before the board, so the board
	// would not have been cut for it.
	Filled bool `json:",omitempty"`
	Search FreeSearch
	Strips []Strip `json:",omitempty"` // Order, Item, Amount and Cuts only
}

// FreeSearch is how the search for a free plan ended.
type FreeSearch int

// How it ended.
const (
	FreeProven  FreeSearch = iota
	FreeStopped            // a limit ended the search; the best plan found until then
	FreeAsBays             // none was found; the plan by bays stands in
)

// FreeFace is the lumber that an order took, and would have taken without a limit of
// bays. It counts only boards that were cut.
type FreeFace struct {
	Order      string
	Boards     int32
	Face       Sum
	FreeBoards int32 // those before the order was filled in the books without a limit
	FreeFace   Sum
	Stopped    int32 // of FreeBoards, those whose search a limit ended
	AsBays     int32 // of FreeBoards, those counted by the plan by bays
}

// free gives the item's state in the books without a limit, created if need be.
func (e *Entry) free(since int32) *Free {
	if e.Free == nil {
		e.Free = &Free{Since: since, Made: e.Made, Cuts: slices.Clone(e.Cuts)}
	}
	return e.Free
}

// freely are the strips by which a board that was cut into cut counts for an item in the
// books without a limit.
func (e *Entry) freely(h *Held, cut []Strip) []Strip {
	switch {
	case h.Order != e.Order || e.Free == nil || h.Sequence < e.Free.Since:
		return cut
	case h.Free == nil:
		return nil
	}
	return h.Free.Strips
}

// BeginFree begins the books without a limit for the order in force, unless they are kept
// already, with the board of the last message.
func (r *Run) BeginFree() {
	for i := range r.Entries {
		if e := &r.Entries[i]; e.Order == r.Order {
			e.free(r.Sequence)
		}
	}
}

// StandFree is Stand for the books without a limit.
func (r *Run) StandFree(items []order.Item) {
	for i := range items {
		it := &items[i]
		e := r.find(Key{r.Order, it.ID})
		if e == nil {
			continue
		}
		made, cuts := e.Made, e.Cuts
		if e.Free != nil {
			made, cuts = e.Free.Made, e.Free.Cuts
		}
		for k := range it.Cuts {
			it.Cuts[k].Made = 0
			if at, ok := slices.BinarySearchFunc(cuts, CutMade{Length: it.Cuts[k].Length}, compareCuts); ok {
				it.Cuts[k].Made = cuts[at].Made
			}
		}
		for n := range r.Held {
			h := &r.Held[n]
			if !e.reserved(h) {
				continue
			}
			strips := e.freely(h, h.Ways[0].Strips)
			made += h.sumOf(strips, e)
			for k := range it.Cuts {
				it.Cuts[k].Made += h.cutsOf(strips, e.Key, it.Cuts[k].Length)
			}
		}
		it.Made = min(made, order.MaxAmount)
		for k := range it.Cuts {
			it.Cuts[k].Made = min(it.Cuts[k].Made, order.MaxPieces)
		}
	}
}

// StandConfirmedFree is StandConfirmedOf for the books without a limit. It reports false
// if they are not kept for the order.
func (r *Run) StandConfirmedFree(id string, items []order.Item) bool {
	for i := range items {
		it := &items[i]
		e := r.find(Key{id, it.ID})
		if e == nil || e.Free == nil {
			return false
		}
		it.Made = e.Free.Made
		for k := range it.Cuts {
			it.Cuts[k].Made = 0
			if at, ok := slices.BinarySearchFunc(e.Free.Cuts, CutMade{Length: it.Cuts[k].Length}, compareCuts); ok {
				it.Cuts[k].Made = e.Free.Cuts[at].Made
			}
		}
	}
	return true
}

// commitFree adds a board that was cut into these strips to the books without a limit.
func (r *Run) commitFree(h *Held, cut []Strip) {
	for i := range r.Entries {
		e := &r.Entries[i]
		if e.Free == nil || e.before(h) {
			continue
		}
		strips := e.freely(h, cut)
		e.Free.Made = min(e.Free.Made+h.sumOf(strips, e), order.MaxAmount)
		for k := range e.Cuts {
			length := e.Cuts[k].Length
			n := h.cutsOf(strips, e.Key, length)
			if n == 0 {
				continue
			}
			at, ok := slices.BinarySearchFunc(e.Free.Cuts, CutMade{Length: length}, compareCuts)
			if !ok {
				e.Free.Cuts = slices.Insert(e.Free.Cuts, at, CutMade{Length: length})
			}
			e.Free.Cuts[at].Made = min(e.Free.Cuts[at].Made+n, order.MaxPieces)
		}
	}
}

// said changes what is made in the books without a limit by as much as a caller changes
// it in the run's own.
func (f *Free) said(from, to int64) {
	if f != nil {
		f.Made = min(max(f.Made+to-from, 0), order.MaxAmount)
	}
}

func (f *Free) saidCuts(length unit.Length, from, to int64) {
	if f == nil {
		return
	}
	at, ok := slices.BinarySearchFunc(f.Cuts, CutMade{Length: length}, compareCuts)
	if !ok {
		f.Cuts = slices.Insert(f.Cuts, at, CutMade{Length: length})
	}
	f.Cuts[at].Made = min(max(f.Cuts[at].Made+to-from, 0), order.MaxPieces)
}

// free adds a board that was cut to the lumber of its order.
func (b *BayTotals) free(h *Held) {
	i := slices.IndexFunc(b.Lumber, func(f FreeFace) bool { return f.Order == h.Order })
	if i < 0 {
		if len(b.Lumber) == MaxEntries {
			return
		}
		i, b.Lumber = len(b.Lumber), append(b.Lumber, FreeFace{Order: h.Order})
	}
	f := &b.Lumber[i]
	f.Boards++
	f.Face.AddArea(h.Face)
	if h.Free.Filled {
		return
	}
	f.FreeBoards++
	f.FreeFace.AddArea(h.Face)
	switch h.Free.Search {
	case FreeProven:
	case FreeStopped:
		f.Stopped++
	case FreeAsBays:
		f.AsBays++
	}
}

func (f *Free) bounded(last int32) bool {
	if f == nil {
		return true
	}
	ok := f.Since >= 0 && f.Since <= last && f.Made >= 0 && f.Made <= order.MaxAmount && slices.IsSortedFunc(f.Cuts, compareCuts) && len(f.Cuts) <= maxCuts
	for _, c := range f.Cuts {
		ok = ok && c.Made >= 0 && c.Made <= order.MaxPieces
	}
	return ok
}

// freeBounded reports whether the free plan of a board is possible.
func (r *Run) freeBounded(h *Held) bool {
	if h.Free == nil {
		return true
	}
	if h.Free.Search < FreeProven || h.Free.Search > FreeAsBays {
		return false
	}
	return !slices.ContainsFunc(h.Free.Strips, func(s Strip) bool {
		return r.find(h.key(&s)) == nil || s.Amount < 0 || s.Amount > mostBoard ||
			slices.ContainsFunc(s.Cuts, func(c CutMade) bool { return c.Made < 0 || c.Made > order.MaxPieces })
	})
}
