package wire

import (
	"slices"
	"strings"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/overlap"
	"github.com/ripwright/ripwright/solver/rip"
)

// also is a second order that a board serves.
type also struct {
	orderID string
	items   []*ripwrightv1.Item
	first   int    // index of its first item among the job's
	prefix  string // of its items' names there
}

// ServesTwo reports whether the board serves two orders.
func (j *Job) ServesTwo() bool { return j.also != nil }

// Own is how many of the items belong to the order for which the board is planned. They
// come first.
func (j *Job) Own() int {
	if j.also != nil {
		return j.also.first
	}
	return len(j.Problem.Items)
}

// Named is the name of an item, and its order: empty: the one for which the board is
// planned.
func (j *Job) Named(item int) (order, id string) {
	id = j.Problem.Items[item].ID
	if j.also == nil || item < j.also.first {
		return "", id
	}
	return j.also.orderID, id[len(j.also.prefix):]
}

// Next is the other order that the board serves, with its items as sent. They follow its
// own.
func (j *Job) Next() (id string, items []*ripwrightv1.Item) {
	if j.also == nil {
		return "", nil
	}
	return j.also.orderID, j.also.items
}

// Join makes the board serve another order too, with its items' fills as given; they are
// changed. It is false if the two have more items than an order may.
func (j *Job) Join(l *Line, items []order.Item) bool {
	if len(j.Problem.Items)+len(items) > order.MaxItems {
		return false
	}
	a := &also{orderID: l.OrderID, items: l.Order.GetItems(), first: len(j.Problem.Items), prefix: "next: "}
	for slices.ContainsFunc(j.Problem.Items, func(it order.Item) bool { return strings.HasPrefix(it.ID, a.prefix) }) {
		a.prefix += "next: "
	}
	for i := range items {
		items[i].ID = a.prefix + items[i].ID
	}
	j.also = a
	j.Problem.Items, j.Items = append(j.Problem.Items, items...), slices.Concat(j.Items, l.More)
	return true
}

// solveOverlap searches a plan for two orders.
func (j *Job) solveOverlap() (*rip.Result, error) {
	return overlap.Solve(&j.Problem, j.also.first, j.terms(), overlap.Options{Options: j.Options, Half: j.Half, Turns: j.Turns})
}

// askedAlso adds to an order the items of the other order that a board serves, under
// their names in the search.
func (l *Line) askedAlso(j *Job, o *ripwrightv1.CutOrder) {
	if j.also == nil {
		return
	}
	for i, m := range j.also.items {
		m, it := proto.CloneOf(m), &j.Problem.Items[j.also.first+i]
		m.ItemId = it.ID
		stands(m, it, j.Items[j.also.first+i].Count)
		o.Items = append(o.Items, m)
	}
}

// stands gives an item of a request its fill in the search.
func stands(m *ripwrightv1.Item, it *order.Item, count order.Measure) {
	m.Made = amount(count, it.Made)
	m.Value, m.ValuePer = float64(it.Value)/millionths, per[it.Basis]
	for k, c := range m.GetCrosscut().GetLengths() {
		c.Made, c.Value = proto.Int32(int32(it.Cuts[k].Made)), float64(it.Cuts[k].Value)/millionths
	}
}
