package replan

import (
	"maps"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
)

// Apply gives items the values in force as they were planned; boards are cut by those of
// Price. An item that was not planned, or whose lengths have changed, keeps its own
// value.
func (c *Course) Apply(items []order.Item) {
	if c.Force != nil {
		apply(byItem(c.Force.Items), items)
	}
}

// ApplyLast gives items the values by which the last board was cut, or, if there was
// none, those in force.
func (c *Course) ApplyLast(items []order.Item) {
	if len(c.Last) == 0 {
		c.Apply(items)
		return
	}
	apply(byItem(c.Last), items)
}

// Cut keeps the values by which a board is cut, for ApplyLast.
func (c *Course) Cut(items []order.Item) {
	c.Last = nil
	if c.Force == nil {
		return
	}
	planned := byItem(c.Force.Items)
	for i := range items {
		it := &items[i]
		if planned[it.ID] == nil {
			continue
		}
		v := Value{Item: it.ID, Basis: it.Basis}
		if len(it.Cuts) == 0 {
			v.Value = it.Value
		}
		for k := range it.Cuts {
			v.Cuts = append(v.Cuts, CutValue{Length: it.Cuts[k].Length, Value: it.Cuts[k].Value})
		}
		c.Last = append(c.Last, v)
	}
}

// Leave keeps, for PriceFree, the previous values of items that have none among those in
// force.
func (c *Course) Leave(before *Set) {
	if before == nil || before == c.Force || c.Force == nil {
		return
	}
	left := byItem(c.Left)
	maps.Copy(left, byItem(before.Items))
	for i := range c.Force.Items {
		delete(left, c.Force.Items[i].Item)
	}
	all := make([]Value, 0, len(left))
	for _, id := range slices.Sorted(maps.Keys(left)) {
		all = append(all, *left[id])
	}
	c.Left = all[:min(len(all), order.MaxItems)]
}

func apply(of map[string]*Value, items []order.Item) {
	for i := range items {
		it := &items[i]
		v := of[it.ID]
		if v == nil {
			continue
		}
		if len(it.Cuts) == 0 && len(v.Cuts) == 0 {
			it.Value, it.Basis = v.Value, v.Basis
		}
		for k := range it.Cuts {
			for _, cut := range v.Cuts {
				if cut.Length == it.Cuts[k].Length {
					it.Cuts[k].Value = cut.Value
				}
			}
		}
	}
}

// byItem indexes values by item ID.
func byItem(values []Value) map[string]*Value {
	of := make(map[string]*Value, len(values))
	for i := range values {
		of[values[i].Item] = &values[i]
	}
	return of
}
