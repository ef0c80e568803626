package wire

import (
	"slices"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// Rules reads how planned values are mixed with an order's own, at path.
func (p *Parts) Rules(path string, rules []*ripwrightv1.ValueRule, o *ripwrightv1.CutOrder) map[string]values.Rule {
	top := at(nil, "")
	return p.r.rules(&top, path, rules, o)
}

// rules are for items of o, or for any items if that is nil.
func (r *reader) rules(in *place, field string, rules []*ripwrightv1.ValueRule, o *ripwrightv1.CutOrder) map[string]values.Rule {
	if !r.entries(in, field, len(rules), ForPlans.Rules) {
		return nil
	}
	// Faults of the order are reported once.
	known := len(o.GetItems()) > 0 && !slices.ContainsFunc(r.faults, func(f fault.Fault) bool { return strings.HasPrefix(f.Path, "order.items") })
	ids := map[string]bool{}
	for _, it := range o.GetItems() {
		ids[it.GetItemId()] = true
	}
	out := map[string]values.Rule{}
	for i, m := range rules {
		p := nth(in, field, i)
		id := m.GetItemId()
		_, twice := out[id]
		switch {
		case !r.text(&p, "item_id", id, ownIDs):
		case known && !ids[id]:
			r.faults.Because(fault.UnknownName, p.path("item_id"), "is %q; the order has no such item", id)
		case twice:
			r.faults.Because(fault.Duplicate, p.path("item_id"), "is %q, which is given twice; name each item at most once", id)
		}
		var rule values.Rule
		switch is := m.GetRule().(type) {
		case *ripwrightv1.ValueRule_Times:
			rule.Times = r.number(&p, "times", is.Times, ForPlans.Times)
		case *ripwrightv1.ValueRule_Keep:
			if rule.Keep = is.Keep; !is.Keep {
				r.faults.Add(p.path("keep"), "is false; omit the rule where the planned value is wanted")
			}
		default:
			r.faults.Because(fault.Missing, p.path(""), "has no rule; set times or keep")
		}
		out[id] = rule
	}
	return out
}

// PlannedValue writes an item's value. cuts are the values of its lengths, in millionths.
func PlannedValue(it *order.Item, value int64, basis order.Basis, cuts []int64) *ripwrightv1.PlannedValue {
	v := &ripwrightv1.PlannedValue{ItemId: it.ID, Value: float64(value) / millionths, ValuePer: per[basis]}
	for c, value := range cuts {
		v.Lengths = append(v.Lengths, &ripwrightv1.PlannedLength{LengthMm: it.Cuts[c].Length.MM(), Value: float64(value) / millionths})
	}
	return v
}
