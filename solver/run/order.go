package run

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// Wanted is an item as an order gives it.
type Wanted struct {
	Entry         // Made and Cuts as sent
	MadeSaid bool // Made was given; otherwise the run's amount stands
	// CutsSaid says the same of each of Cuts; if it is shorter, the rest were not given.
	CutsSaid []bool
	Range    bool // the width was given as a range
	// Anew restarts the item, whatever the run has under its name.
	Anew bool
}

// Coming is a waiting order whose books the run keeps.
type Coming struct {
	ID    string
	Items []Wanted
}

// SetOrder makes an order the one that boards are planned for. Paths of faults begin with
// the item; if there are any, the run does not change.
func (r *Run) SetOrder(id string, items []Wanted) fault.List {
	if _, l := r.Await([]Coming{{id, items}}); len(l) > 0 {
		return l
	}
	r.Order = id
	return nil
}

// Await makes the run keep the books of waiting orders. Paths of faults begin with the
// item of the order at index; if there are any, the run does not change.
func (r *Run) Await(orders []Coming) (index int, l fault.List) {
	more := 0
	for n := range orders {
		if l := r.awaits(&orders[n], &more); len(l) > 0 {
			return n, l
		}
	}
	for n := range orders {
		for i := range orders[n].Items {
			r.want(orders[n].ID, &orders[n].Items[i])
		}
	}
	return 0, nil
}

// awaits lists what is wrong with an order; more counts the items that are new.
func (r *Run) awaits(o *Coming, more *int) (l fault.List) {
	id, items := o.ID, o.Items
	for i := range items {
		k := Key{id, items[i].Item}
		switch e := r.find(k); {
		case e == nil:
			*more++
		case items[i].Anew:
		case e.Takes.Max > 0 && (e.Takes.Min != items[i].Takes.Min || e.Takes.Max != items[i].Takes.Max):
			l.Add(fmt.Sprintf("items[%d].%s", i, items[i].width()), "differs from that in which the run has made %q so far, %s; give the changed item an item_id of its own, or name it in begin_anew",
				k.Item, e.Takes.width())
		case e.Count != items[i].Count:
			l.Add(fmt.Sprintf("items[%d].required", i),
				"is in another unit than the run has counted %q in so far; give the changed item an item_id of its own", k.Item)
		case len(e.Cuts)+len(items[i].Cuts) > maxCuts:
			l.Add(fmt.Sprintf("items[%d].crosscut", i), "has too many lengths with those that the run knows of %q; give the changed item an item_id of its own", k.Item)
		}
	}
	if n := len(r.Entries) + *more; n > MaxEntries {
		l.Add("items", "would be %d items with those that the run knows; at most %d are kept, so begin a new run", n, MaxEntries)
	}
	return l
}

// width is the field that gives the item's width.
func (w *Wanted) width() string {
	if w.Range {
		return "range"
	}
	return "width_mm"
}

// maxCuts limits the crosscut lengths that an item can have had in a run.
const maxCuts = 8 * order.MaxCuts

func (r *Run) want(id string, w *Wanted) {
	k := Key{id, w.Item}
	e := r.find(k)
	if e == nil {
		at, _ := slices.BinarySearchFunc(r.Entries, k, func(e Entry, k Key) int { return e.compare(k) })
		r.Entries = slices.Insert(r.Entries, at, Entry{Key: k, Count: w.Count})
		e = &r.Entries[at]
	}
	if w.Anew {
		*e = Entry{Key: k, Count: w.Count, Since: r.Sequence}
	}
	if w.MadeSaid {
		e.Free.said(e.Made, w.Made)
		e.Made = w.Made
	}
	e.PieceLength, e.Joint, e.Stack, e.Takes = w.PieceLength, w.Joint, w.Stack, w.Takes
	for i, c := range w.Cuts {
		at, ok := e.cut(c.Length)
		switch {
		case !ok:
			e.Cuts = slices.Insert(e.Cuts, at, c)
		case i < len(w.CutsSaid) && w.CutsSaid[i]:
			e.Free.saidCuts(c.Length, e.Cuts[at].Made, c.Made)
			e.Cuts[at].Made = c.Made
		}
	}
}

// Stand sets what is made and reserved of each item, for planning the next board.
func (r *Run) Stand(items []order.Item) { r.StandOf(r.Order, items) }

// StandOf is Stand for the items of any order whose books the run keeps.
func (r *Run) StandOf(id string, items []order.Item) {
	for i := range items {
		it := &items[i]
		k := Key{id, it.ID}
		it.Made = min(r.Made(k)+r.Reserved(k), order.MaxAmount)
		for j := range it.Cuts {
			c := &it.Cuts[j]
			c.Made = min(r.MadeCuts(k, c.Length)+r.ReservedCuts(k, c.Length), order.MaxPieces)
		}
	}
}

// StandConfirmed sets what is made of each item: confirmed amounts, without reservations.
func (r *Run) StandConfirmed(items []order.Item) { r.StandConfirmedOf(r.Order, items) }

// StandConfirmedOf is StandConfirmed for the items of any order whose books the run
// keeps.
func (r *Run) StandConfirmedOf(id string, items []order.Item) {
	for i := range items {
		it := &items[i]
		e := r.find(Key{id, it.ID})
		if e == nil {
			e = &Entry{}
		}
		it.Made = e.Made
		for j := range it.Cuts {
			c := &it.Cuts[j]
			c.Made = 0
			if at, ok := e.cut(c.Length); ok {
				c.Made = e.Cuts[at].Made
			}
		}
	}
}

// has reports whether the run keeps the books of any item of an order.
func (r *Run) has(order string) bool {
	return slices.ContainsFunc(r.Entries, func(e Entry) bool { return e.Order == order })
}

// Near is a pair of items, by index, whose widths are closer than a threshold. Apart
// below 0: ranges overlap.
type Near struct {
	A, B  int
	Apart unit.Length
}

// MaxNear is the most pairs that are listed.
const MaxNear = 100

// Width is what a stacker can identify a strip by.
type Width struct {
	Min, Max unit.Length
	Stack    string
}

// Alike lists the pairs that a stacker could confuse: closer than the threshold, and for
// different stacks. It lists at most MaxNear.
func Alike(widths []Width, threshold unit.Length) (all []Near) {
	for a := range widths {
		for b := a + 1; b < len(widths); b++ {
			x, y := &widths[a], &widths[b]
			apart := max(x.Min, y.Min) - min(x.Max, y.Max)
			if x.Stack != y.Stack && apart < threshold {
				if all = append(all, Near{a, b, apart}); len(all) == MaxNear {
					return all
				}
			}
		}
	}
	return all
}

func compareCuts(a, b CutMade) int { return cmp.Compare(a.Length, b.Length) }
