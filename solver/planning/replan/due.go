package replan

import (
	"maps"
	"math"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// A fractional plan neglects three things about a due: the boards that come until then
// are fewer than the sample and may be different ones, an item is filled by whole strips,
// and if two items are worth nearly the same, the next boards may all give the other. So
// planning aims at an earlier due and one more strip, and values what is due a little
// above its price; what will be late comes before all else. The factors were tried on
// invented orders; see the test.
const (
	soonerPart = 0.1 // of the boards left until the due
	dueTimes   = 1.05
	lateTimes  = 4
)

// sooner moves dues to those that planning aims at.
func sooner(items []order.Item, done int64) []order.Item {
	for i := range items {
		if left := items[i].Due - done; items[i].Due > 0 && left > 0 {
			items[i].Due = done + int64(math.Ceil(float64(left)*(1-soonerPart)))
		}
	}
	return items
}

// strips gives what is open; for rows with a due at least what a strip of a typical board
// gives.
func (t *Task) strips(d *demand.Order) []int64 {
	mean := int64(0) // micrometres
	for _, k := range t.problem.Lots[0].Kinds {
		mean += int64(k.Board.Length.Floor())
	}
	mean /= int64(len(t.problem.Lots[0].Kinds))
	open := d.Open()
	for k := range d.Rows {
		r := &d.Rows[k]
		if r.Due == 0 {
			continue
		}
		switch it := &d.Items[r.Item]; {
		case r.Cut != demand.Whole:
		case r.Measure == order.ByLength:
			open[k] = max(open[k], mean)
		case r.Measure == order.ByArea:
			open[k] = max(open[k], mean*int64(it.Min.Floor()))
		}
	}
	return open
}

// urged are the rules with items that are due valued higher.
func (t *Task) urged(d *demand.Order, late []values.Late) map[string]values.Rule {
	out := maps.Clone(t.Rules)
	if out == nil {
		out = map[string]values.Rule{}
	}
	times := map[string]float64{}
	for k := range d.Rows {
		if d.Rows[k].Due > 0 {
			times[d.Items[d.Rows[k].Item].ID] = dueTimes
		}
	}
	for _, l := range late {
		times[d.Items[d.Rows[l.Row].Item].ID] = lateTimes
	}
	for id, by := range times {
		rule := out[id]
		if rule.Times == 0 {
			rule.Times = 1
		}
		rule.Times = min(rule.Times*by, values.MostTimes)
		out[id] = rule
	}
	return out
}
